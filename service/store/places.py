"""Folders of this machine beside the database and the clips: what is in work, or put by."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from service.settings import Settings


def backups(settings: Settings) -> Path:
    """Where backups are put if nobody names another place; only those here are tidied away."""
    return settings.data / "backups"


def scratches(settings: Settings) -> Path:
    """Where what is in work lies; what a killed process left here is tidied away after a day."""
    return settings.data / "scratch"


@contextmanager
def scratch(settings: Settings) -> Iterator[Path]:
    """A folder that goes with all that is in it; on the disk of the data, because clips are large and private."""
    place = scratches(settings)
    place.mkdir(parents=True, exist_ok=True, mode=0o700)
    with TemporaryDirectory(dir=place) as folder:
        yield Path(folder)
