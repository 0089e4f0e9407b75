"""Clips followed once, measured many times: the costly pass over a clip's frames is kept between runs of the bench.

What is kept depends on the code that follows the athlete and on nothing else, so a change of an angle's formula does
not follow sixty clips anew.
"""

import pickle
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from models.errors import AthleteError
from tests.bench.cache import digest, folder, imported, keep, program_state
from vision import track
from vision.clip import Clip
from vision.track import Tracks

Alter = Callable[[Tracks], Tracks]


def as_they_are(tracks: Tracks) -> Tracks:
    return tracks


@contextmanager
def followed_once(alter: Alter = as_they_are, *, way: str = "") -> Iterator[None]:
    """Inside, a measurement takes kept tracks, altered, where there are some.

    Args:
        alter: What is done to the tracks before they are measured.
        way: Names another way of following than the program's own, in force while this is entered.
    """
    follow = track.track

    def kept(clip: Clip, *rest: Any, **named: Any) -> Tracks:
        outcome = _load(clip.path, way) or _make(clip.path, way, lambda: follow(clip, *rest, **named))
        if isinstance(outcome, AthleteError):
            raise outcome
        return alter(outcome)

    with patch.object(track, "track", kept):
        yield


def _load(clip: Path, way: str) -> Tracks | AthleteError | None:
    path = _path(clip, way)
    # Only this bench writes here, into the user's own cache folder.
    return pickle.loads(path.read_bytes()) if path.exists() else None  # noqa: S301


def _make(clip: Path, way: str, follow: Callable[[], Tracks]) -> Tracks | AthleteError:
    outcome: Tracks | AthleteError
    try:
        outcome = follow()
    except AthleteError as refusal:
        outcome = refusal
    path = _path(clip, way)
    for old in path.parent.glob(f"{path.name.rpartition('-')[0]}-*.pickle"):
        old.unlink(missing_ok=True)
    keep(path, pickle.dumps(outcome))
    return outcome


def _path(clip: Path, way: str) -> Path:
    state = program_state(*imported("vision/track.py"))
    return folder() / "tracks" / f"{digest(clip)[:24]}{way and '_'}{way}-{state[:16]}.pickle"
