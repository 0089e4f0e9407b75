"""The athlete's body in the looks at a clip: one pass over the frames, and another where that one shows how to look better.

A pass is made again for somebody else who trains while the one followed stands by; from nearer, where the athlete is lost in
too large a picture; and with others painted over, where they are taken for the athlete. Of each two the better one is kept.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.athlete import alike, doubtful, others_in
from vision.clip import Clip
from vision.looks import Look, Looks, look_through
from vision.people import beside, rival
from vision.pose import Bodies, Weights
from vision.resemblance import Sought
from vision.scout import scout
from vision.settle import settle
from vision.shown import Box, surroundings

Array = NDArray[np.float64]

ENOUGH: Final = 0.8
"""Share of the pictures looked at: an athlete who is found in fewer is looked for from nearer."""
CLOSER: Final = 1.0
"""Room left then on each side of where they were seen best, as a share of the body's larger side: enough for a muscle-up."""


@dataclass(frozen=True)
class Found:
    """Looks at a clip, and the athlete's body in those that are kept."""

    looks: Looks
    athlete: Mapping[int, Bodies]
    """One body by frame."""
    within: Box | None = None
    """The part of the pictures that was looked at; None: all of them."""

    def round_about(self) -> list[tuple[Look, Array]]:
        """Each look at the whole picture, and where the athlete (joints, 2) was then; nothing where nobody was found."""
        frames = np.array(sorted(self.athlete))
        if not len(frames):
            return []
        nearest = [int(frames[np.argmin(np.abs(frames - look.frame))]) for look in self.looks.around]
        return [(look, self.athlete[frame].points[0]) for look, frame in zip(self.looks.around, nearest, strict=True)]


def seek(clip: Clip, weights: Weights, wanted: Sought | None, progress: Callable[[float], None] | None = None) -> Found:
    """Find the athlete all through a clip, told by what they do if that is known; `progress` is told of the first pass."""
    look = partial(_look, clip, weights, wanted)
    found = _settled(look_through(clip, weights, progress, wanted=wanted))
    if (start := _rival(found)) is not None:
        found = _settled(look_through(clip, weights, wanted=wanted, start=start))
    if len(found.athlete) < ENOUGH * found.looks.pictures and (seen := _seen(found, clip, weights)):
        best = max(seen, key=lambda body: alike([body], wanted))
        found = _better(found, look(_bystanders(found), surroundings(best.points[0], CLOSER)), wanted)
    others = others_in(found.looks, wanted) if wanted and doubtful(found.looks, found.athlete, wanted) else ()
    if others:
        found = _better(found, look(others, found.within), wanted)
    return found


def _look(clip: Clip, weights: Weights, wanted: Sought | None, hidden: tuple[Look, ...], within: Box | None) -> Found:
    return _settled(look_through(clip, weights, wanted=wanted, hidden=hidden, within=within), within)


def _settled(looks: Looks, within: Box | None = None) -> Found:
    chosen = settle(looks.close)
    athlete = {looks.close[i].frame: looks.close[i].candidates.only([best]) for i, best in chosen.items()}
    return Found(looks, athlete, within)


def _better(one: Found, other: Found, wanted: Sought | None) -> Found:
    return max(one, other, key=lambda found: alike(found.athlete.values(), wanted))


def _rival(found: Found) -> Array | None:
    around = found.round_about()
    return rival([look.candidates for look, _ in around], [athlete for _, athlete in around])


def _seen(found: Found, clip: Clip, weights: Weights) -> list[Bodies]:
    """Whoever was found, body by body; if that is nobody, everybody whom a closer look at a few pictures shows."""
    if found.athlete:
        return list(found.athlete.values())
    scouted = scout(clip, weights)
    return [scouted.only([i]) for i in range(len(scouted))]


def _bystanders(found: Found) -> tuple[Look, ...]:
    """Looks at the whole picture that show others beside the athlete, with none but them."""
    with_others = (look.only(beside(look.candidates, athlete)) for look, athlete in found.round_about())
    return tuple(look for look in with_others if len(look.candidates))
