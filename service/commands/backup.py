"""`plumbrep backup`: put by a copy of everything."""

from pathlib import Path
from typing import Annotated

import typer

from service.commands.service_settings import reaching, read_settings

To = Annotated[
    Path | None,
    typer.Argument(
        metavar="FOLDER", help="A new folder, best on another disk; else one in the data folder.", show_default=False
    ),
]


def backup(to: To = None) -> None:
    """Put by a copy of all records and clips, while the service runs."""
    settings = read_settings()
    from service.leaving.backup import backup as put_by
    from service.records import now
    from service.store.places import backups

    to = to or backups(settings) / f"{now():%Y-%m-%d-%H%M%S}"
    with reaching():
        manifest = put_by(settings, to)
    size = sum(kept.bytes for kept in [manifest.records, *manifest.files.values()])
    typer.echo(f"{to}: the records and {len(manifest.files)} files, {size / 1e6:,.1f} MB")
