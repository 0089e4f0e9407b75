"""`plumbrep serve`: the whole service on this machine."""

import typer

from service.commands.service_settings import reaching, read_settings, require_folder


def serve() -> None:
    """Serve pages and API, and measure clips, until told to stop."""
    settings = read_settings()
    require_folder(settings)
    from service.running.shared import count_together

    count_together(settings)
    from service.running.serve import serve as run

    with reaching():
        run(settings, lambda url: typer.echo(f"plumbrep answers at {url}"))
