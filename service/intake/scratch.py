"""Folders for what is being worked on."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from service.settings import Settings


@contextmanager
def scratch(settings: Settings) -> Iterator[Path]:
    """A folder that goes with all that is in it; on the disk of the data, because clips are large and private."""
    place = settings.data / "scratch"
    place.mkdir(parents=True, exist_ok=True, mode=0o700)
    with TemporaryDirectory(prefix="arriving-", dir=place) as folder:
        yield Path(folder)
