"""`plumbrep tidy`: let go what has had its time."""

import typer

from service.commands.service_settings import reaching, read_settings


def tidy() -> None:
    """Delete clips, uploads, backups and entries whose time is over."""
    settings = read_settings()
    from service.leaving.erasing import erase_freed_pages
    from service.leaving.tidy import tidy as let_go
    from service.records import now
    from service.records.database import Database
    from service.records.migrate import require_current
    from service.store import open_store

    with reaching():
        require_current(settings.database_url)
        database = Database(settings.database_url)
        try:
            with database.session() as session:
                tidied = let_go(session, open_store(settings), settings, now())
        finally:
            database.engine.dispose()
        erase_freed_pages(settings)
    typer.echo(
        f"gone: {tidied.clips} clips, {tidied.uploads} uploads, {tidied.backups} backups, {tidied.rows} entries, "
        f"{tidied.strays} stray files"
    )
