"""A rep's durations when a person has moved where a stroke begins or ends."""

from collections.abc import Mapping
from itertools import pairwise
from math import hypot, sqrt
from typing import Final, Literal

from models.document import Rep, Stroke
from models.errors import CorrectionError
from models.quantity import Measured, Q

Boundary = Literal["lowering.start", "lowering.end", "raising.start", "raising.end"]
FRAMES: Final = 2.0
"""A person who steps through the frames puts a boundary within so many frames of where another would (common practice, no
source)."""
K: Final = 1.96


def moved(rep: Rep, boundaries: Mapping[Boundary, float], frame: float) -> dict[str, Q]:
    """The durations that follow from moved boundaries; those that do not change are left out.

    A boundary that was put by hand has the standard uncertainty of a uniform distribution over `FRAMES` frames to either
    side (JCGM 100, 4.3.7). How much of the machine's uncertainty belongs to the boundary that stays, the document does not
    tell: all of it is kept, which is too much rather than too little. The pause before the rep's first stroke belongs to the
    rep before it and stays as it was.

    Args:
        rep: As measured.
        boundaries: Seconds on the clip's clock.
        frame: Seconds between two frames.

    Raises:
        CorrectionError: the rep has no such stroke, or its boundaries would not follow one another.
    """
    if not boundaries:
        raise CorrectionError("no boundary is given; move at least one")
    strokes = _strokes(rep)
    known = [f"{name}.{end}" for name in strokes for end in ("start", "end")]
    if unknown := next((name for name in boundaries if name not in known), None):
        raise CorrectionError(f"the rep has no {unknown}; it has {', '.join(known) or 'no stroke'}")
    at = {name: getattr(strokes[name.split(".")[0]], name.split(".")[1]) for name in known} | dict(boundaries)
    if late := next((b for a, b in pairwise(known) if at[a] > at[b]), None):
        raise CorrectionError(f"{late} would lie before what comes before it; move that too")
    hand = FRAMES * frame / sqrt(3)
    found: dict[str, Q] = {}
    for name, stroke in strokes.items():
        by_hand = [end for end in ("start", "end") if f"{name}.{end}" in boundaries]
        if by_hand:
            found[name] = _between(at[f"{name}.start"], at[f"{name}.end"], stroke.duration, len(by_hand), hand)
    return found | _pauses(rep, list(strokes), boundaries, at, hand)


def _strokes(rep: Rep) -> dict[str, Stroke]:
    """The rep's strokes, the first one first."""
    both = {"lowering": rep.lowering, "raising": rep.raising}
    there = {name: stroke for name, stroke in both.items() if stroke is not None}
    return dict(sorted(there.items(), key=lambda each: each[1].start))


def _pauses(
    rep: Rep, order: list[str], boundaries: Mapping[Boundary, float], at: Mapping[str, float], hand: float
) -> dict[str, Q]:
    """The pause between the strokes, and the one after the last, as far as a boundary of theirs was moved."""
    after = {"lowering": ("bottom_pause", rep.bottom_pause), "raising": ("top_pause", rep.top_pause)}
    found: dict[str, Q] = {}
    if len(order) == 2:
        name, pause = after[order[0]]
        ends = f"{order[0]}.end", f"{order[1]}.start"
        by_hand = sum(end in boundaries for end in ends)
        if by_hand:
            found[name] = _between(at[ends[0]], at[ends[1]], pause, by_hand, hand)
    last = order[-1]
    name, pause = after[last]
    if f"{last}.end" in boundaries and isinstance(pause, Measured):
        was: float = _strokes(rep)[last].end
        start = at[f"{last}.end"]
        found[name] = _between(start, max(start, was + pause.value), pause, 1, hand)
    return found


def _between(start: float, end: float, machine: Q, by_hand: int, hand: float) -> Q:
    """A duration, with one end put by hand or both. Where the machine had no value, nothing vouches for its own end."""
    if by_hand < 2 and not isinstance(machine, Measured):
        return machine
    kept = machine.u if by_hand < 2 and isinstance(machine, Measured) else 0.0
    return Measured(value=end - start, U95=K * hypot(kept, *[hand] * by_hand), unit="s")
