"""How far a clip is, kept in its row while it is measured."""

from time import monotonic
from typing import Final

from sqlalchemy import update

from service.records.clips import Clip
from service.records.database import Database
from service.records.keeping import ClipGone

PAUSE: Final = 1.0
"""Seconds between two writes: people watch, and others write too."""


class Progress:
    """The stages that one try goes through, how long each took, and how far the whole is."""

    def __init__(self, database: Database, clip_id: str) -> None:
        self._database = database
        self._clip_id = clip_id
        self._stage = ""
        self._share = 0.0
        self._since = self._written = monotonic()
        self._seconds: dict[str, float] = {}

    def tell(self, stage: str, share: float) -> None:
        """Say where the work is, as often as you like; every stage is written, and a share once in a while.

        Raises:
            ClipGone: the clip was deleted.
        """
        begun = stage != self._stage
        if begun:
            self._close()
            self._stage = stage
        if begun or (share != self._share and monotonic() - self._written > PAUSE):
            self._share, self._written = share, monotonic()
            self._write(stage, share)

    def seconds(self) -> dict[str, float]:
        """How long each stage took, until now."""
        self._close()
        return {stage: round(spent, 3) for stage, spent in self._seconds.items()}

    def _close(self) -> None:
        now = monotonic()
        if self._stage:
            self._seconds[self._stage] = self._seconds.get(self._stage, 0.0) + now - self._since
        self._since = now

    def _write(self, stage: str, share: float) -> None:
        with self._database.session() as session:
            there = update(Clip).where(Clip.id == self._clip_id, Clip.files_gone.is_(None)).returning(Clip.id)
            if session.scalar(there.values(stage=stage, progress=share)) is None:
                raise ClipGone(self._clip_id)
