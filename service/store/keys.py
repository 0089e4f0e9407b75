"""Names of what is kept of a clip."""

import re
from dataclasses import dataclass
from typing import Final

ROOT: Final = "clips"
"""The first part of every key."""
_SEGMENT: Final = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9_.-]*")
"""No empty part, none of dots alone, nothing that an operating system or a store reads in its own way."""


def checked(key: str) -> str:
    """The key itself.

    Raises:
        ValueError: it leads out of the folder of clips, or would be read differently by different stores.
    """
    parts = key.split("/")
    if len(key) > 200 or parts[0] != ROOT or not all(_SEGMENT.fullmatch(part) for part in parts):
        raise ValueError(f"no key of the store: {key!r}")
    return key


@dataclass(frozen=True)
class ClipFiles:
    """The keys of one clip."""

    clip_id: str

    @property
    def folder(self) -> str:
        """Everything of the clip lies under it."""
        return f"{ROOT}/{self.clip_id}"

    def clip(self, container: str) -> str:
        """The clip itself; `container` is its ending: mp4, mov, webm or mkv."""
        return f"{self.folder}/clip.{container}"

    @property
    def sensor(self) -> str:
        """The phone's sensor track, which came along."""
        return f"{self.folder}/sensor.json"

    @property
    def proxy(self) -> str:
        """A copy that every browser plays, with the same frame times."""
        return f"{self.folder}/proxy.mp4"

    @property
    def series(self) -> str:
        """The motion series, from which plots and corrected boundaries are drawn."""
        return f"{self.folder}/series.npz"

    @property
    def drawn(self) -> str:
        """The clip with the measurement drawn into it."""
        return f"{self.folder}/drawn.mp4"
