"""`plumbrep restore`: bring a backup back."""

from pathlib import Path
from typing import Annotated

import typer

from service.commands.service_settings import reaching, read_settings

Source = Annotated[Path, typer.Argument(metavar="FOLDER", help="A backup.", show_default=False)]
Over = Annotated[bool, typer.Option("--over", help="Replace the records that are there.")]


def restore(source: Source, *, over: Over = False) -> None:
    """Bring a backup back, while the service does not run."""
    settings = read_settings()
    from service.leaving.restore import restore as bring_back

    with reaching():
        restored = bring_back(settings, source, over=over)
    typer.echo(
        f"{settings.data}: {restored.clips} clips with {restored.files} files came back; "
        f"{restored.deleted_again} deletions since were made again"
    )
