"""Clips followed once, measured many times: the costly passes over a clip's frames are kept between runs of the bench.

What a pass gives depends on the clip, on what it is given, and on the code of that pass and nothing else. So a change of
an angle's formula reads no frame anew, and a change of the flow asks the landmark model nothing.
"""

import hashlib
import pickle
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from tests.bench.cache import digest, folder, imported, keep, program_state
from vision import seek, track
from vision.clip import Clip
from vision.track import Tracks

PASSES = (
    (seek, "look_through", "vision/looks.py"),
    (track, "place", "vision/place.py"),
    (track, "follow", "vision/follow.py"),
)
"""The passes: where each is called, its name there, and the file that it lives in."""
MOST = 8
"""Outcomes of a pass kept for each clip, the newest: the program's own, and those without one of its parts."""
Alter = Callable[[Tracks], Tracks]


def as_they_are(tracks: Tracks) -> Tracks:
    return tracks


@contextmanager
def followed_once(alter: Alter = as_they_are, *, way: str = "") -> Iterator[None]:
    """Inside, a measurement takes kept passes where there are some.

    Args:
        alter: What is done to the tracks before they are measured.
        way: Names another way of doing the passes than the program's own, in force while this is entered.
    """
    whole = track.track
    with ExitStack() as stack:
        for caller, name, source in PASSES:
            state = program_state(*imported(source)) + way
            stack.enter_context(patch.object(caller, name, _kept(getattr(caller, name), name, state)))
        stack.enter_context(patch.object(track, "track", lambda *given, **named: alter(whole(*given, **named))))
        yield


def _kept(make: Callable[..., Any], name: str, state: str) -> Callable[..., Any]:
    """A pass that takes its outcome from the cache, or makes it and keeps it."""

    def kept(clip: Clip, *given: Any, **named: Any) -> Any:
        # Who is told of the progress, and where the weights lie, changes nothing; their checksum is part of the state.
        inputs = [x for x in (*given, *named.values()) if not callable(x) and not isinstance(x, Path)]
        key = hashlib.sha256(pickle.dumps(inputs) + state.encode()).hexdigest()
        path = folder() / name / digest(clip.path)[:24] / f"{key[:24]}.pickle"
        if path.exists():
            # Only this bench writes here, into the user's own cache folder.
            return pickle.loads(path.read_bytes())  # noqa: S301
        outcome = make(clip, *given, **named)
        keep(path, pickle.dumps(outcome))
        for old in sorted(path.parent.glob("*.pickle"), key=lambda p: p.stat().st_mtime)[:-MOST]:
            old.unlink(missing_ok=True)
        return outcome

    return kept
