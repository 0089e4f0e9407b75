"""The driving angle's turning points, the strokes between them, and which strokes make a rep."""

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from models.document import Status
from models.movements.movement import Reps
from vision.strokes import Bounds, Travel, bounds, smooth_spline, threshold, travel
from vision.witness import as_told

Array = NDArray[np.float64]

SHORT: Final = 0.20
WHOLE: Final = 0.50
"""Shares of the range asked for at which a cycle is a short rep, and a whole one."""
TURNED_BACK: Final = 0.50
"""A raising that gives back less than this share of the lowering before it has turned back: the rep failed."""
AS_FAR: Final = 0.80
"""A way down without a way back that rests before this share of the set's usual lowering is the athlete coming out."""
LEAP: Final = 0.1
"""Seconds for the middle 80 % of a stroke; a faster one is a leap of the landmarks, for nobody trains so fast."""
EDGE: Final = 0.12
"""Seconds from the clip's edge within which a stroke that is still moving counts as cut off."""

Kind = Literal["lowering", "raising"]


@dataclass(frozen=True)
class StrokeSpan:
    """One stroke of the driving angle between two turning points."""

    kind: Kind
    travel: Travel
    bounds: Bounds
    v: float
    noise: float
    """Degrees, standard: the driving angle's noise from frame to frame."""
    first_turn: float
    last_turn: float
    body: tuple[Travel, Travel] | None = None
    """How far the body itself travels meanwhile, as the driving angle tells it and as it is seen, if that is known."""


@dataclass(frozen=True)
class Cycle:
    """One rep's strokes in the order of time."""

    status: Status
    lowering: StrokeSpan | None
    raising: StrokeSpan | None

    @property
    def strokes(self) -> list[StrokeSpan]:
        """One or two, in the order of time."""
        return sorted((s for s in (self.lowering, self.raising) if s is not None), key=lambda s: s.first_turn)

    @property
    def start(self) -> float:
        """The turning point before the first stroke, seconds."""
        return self.strokes[0].first_turn

    @property
    def end(self) -> float:
        """The turning point after the last stroke, seconds."""
        return self.strokes[-1].last_turn

    @property
    def v(self) -> float:
        """The rep's threshold of speed, deg/s."""
        return self.strokes[0].v


def turning_points(angle: Array, least: float) -> list[int]:
    """Indices of the alternating extremes of a series that lie at least `least` apart in value (hysteresis)."""
    low = high = 0
    direction = 0
    points: list[int] = []
    for i, value in enumerate(angle):
        if direction >= 0 and value > angle[high]:
            high = i
        if direction <= 0 and value < angle[low]:
            low = i
        if direction <= 0 and value - angle[low] >= least:
            points.append(low)
            direction, high = 1, i
        elif direction >= 0 and angle[high] - value >= least:
            points.append(high)
            direction, low = -1, i
    return [*points, high if direction > 0 else low] if direction else []


def find_strokes(time: Array, angle: Array, reps: Reps, body: Array | None = None) -> list[StrokeSpan]:
    """Strokes of at least a fifth of the range asked for, in one stretch in position.

    Args:
        time: (frames,) seconds.
        angle: (frames,) the driving angle.
        reps: How a rep of the movement is made.
        body: (frames,) how far the body has travelled, in any unit.
    """
    spline = smooth_spline(time, angle)
    told_and_seen = None if body is None else (smooth_spline(time, as_told(angle, body)), smooth_spline(time, body))
    turns = _without_leaps(time, angle, turning_points(angle, SHORT * reps.range))
    rests = _rests(angle, turns)
    spans = []
    for i, (a, b) in enumerate(pairwise(turns)):
        grows = angle[b] > angle[a]
        kind: Kind = "lowering" if grows == (reps.lowering == "grows") else "raising"
        way = travel(spline, float(time[a]), float(time[b]), (rests[i], rests[i + 1]))
        v = threshold([way])
        noise = _noise(angle[a : b + 1])
        first, last = float(time[a]), float(time[b])
        both = told_and_seen and (travel(told_and_seen[0], first, last), travel(told_and_seen[1], first, last))
        spans.append(StrokeSpan(kind, way, bounds(way, v), v, noise, first, last, both))
    return spans


def _without_leaps(time: Array, angle: Array, turns: list[int]) -> list[int]:
    """Turning points less both of every leap, or less the outer one of a leap that comes first or last."""
    strokes = enumerate(pairwise(turns))
    leap = next((i for i, (a, b) in strokes if _passage(time[a : b + 1], angle[a : b + 1]) < LEAP), None)
    if leap is None:
        return turns
    if leap == 0:
        kept = turns[1:]
    elif leap == len(turns) - 2:
        kept = turns[:-1]
    else:
        kept = turns[:leap] + turns[leap + 2 :]
    return _without_leaps(time, angle, kept)


def _passage(time: Array, angle: Array) -> float:
    """Seconds from the first tenth of the way to the last."""
    way = (angle - angle[0]) / (angle[-1] - angle[0])
    return float(time[np.argmax(way >= 0.9)] - time[np.argmax(way >= 0.1)])


def _rests(angle: Array, turns: list[int]) -> list[float | None]:
    """Where the first stroke sets out and the last one arrives, if that is not at the turning point itself.

    Before a set and after it the athlete moves too, and often further than at the turns within the set (the arms hang
    straight, the knees unlock). Those inner turns tell where the movement's own end lies.
    """
    rests: list[float | None] = [None] * len(turns)
    if len(turns) < 3:
        return rests
    values = angle[turns]
    for outer, inner, neighbour in ((0, values[2:-1:2], 1), (len(turns) - 1, values[-3:0:-2], -2)):
        if len(inner):
            usual = float(np.median(inner))
            if abs(values[outer] - values[neighbour]) > abs(usual - values[neighbour]):
                rests[outer] = usual
    return rests


def _noise(angle: Array) -> float:
    """Standard deviation of white noise on a smooth series, from its second differences."""
    bends = np.diff(angle, 2)
    return float(np.sqrt(np.mean(bends**2) / 6)) if len(bends) else 0.0


def pair(strokes: list[StrokeSpan], reps: Reps, clip: tuple[float, float], *, stays: bool) -> list[Cycle]:
    """Join strokes to reps in the movement's order and give each its status.

    Args:
        strokes: Strokes of one stretch in position, in the order of time.
        reps: How a rep of the movement is made.
        clip: First and last time of the clip, seconds.
        stays: Whether the clip ends with the athlete still in position, and so with a last rep unfinished.
    """
    cycles: list[Cycle] = []
    waiting: StrokeSpan | None = None
    for stroke in strokes:
        if waiting is not None and stroke.kind != reps.first:
            cycles.append(_cycle([waiting, stroke], reps, clip))
            waiting = None
        elif stroke.kind == reps.first:
            if waiting is not None:  # the way back between them was a climb
                cycles.append(_cycle([waiting], reps, clip))
            waiting = stroke
        else:
            cycles.append(_cycle([stroke], reps, clip))
    if waiting is not None and not _comes_out(waiting, cycles, reps):
        last = _cycle([waiting], reps, clip)
        cycles.append(replace(last, status="cut_off") if stays and not reps.lowering_only else last)
    return [cycle for cycle in cycles if cycle.lowering is not None or cycle.status == "cut_off"]


def _comes_out(last: StrokeSpan, cycles: list[Cycle], reps: Reps) -> bool:
    """Whether a last way down that comes to rest is no rep begun: no way back follows, and the others went further."""
    done = [cycle.lowering.travel.range for cycle in cycles if cycle.lowering and cycle.status == "whole"]
    if reps.lowering_only or reps.first != "lowering" or not done or np.isnan(last.bounds.end):
        return False
    return bool(last.travel.range < AS_FAR * float(np.median(done)))


def _cycle(strokes: list[StrokeSpan], reps: Reps, clip: tuple[float, float]) -> Cycle:
    """Give the strokes of a rep their common v, and the rep its status."""
    v = threshold([stroke.travel for stroke in strokes])
    strokes = [replace(stroke, v=v, bounds=bounds(stroke.travel, v)) for stroke in strokes]
    by_kind = {stroke.kind: stroke for stroke in strokes}
    lowering, raising = by_kind.get("lowering"), by_kind.get("raising")
    return Cycle(_status(lowering, raising, strokes, reps, clip), lowering, raising)


def _status(
    lowering: StrokeSpan | None,
    raising: StrokeSpan | None,
    strokes: list[StrokeSpan],
    reps: Reps,
    clip: tuple[float, float],
) -> Status:
    start, end = clip
    if strokes[0].first_turn < start + EDGE and np.isnan(strokes[0].bounds.start):
        return "cut_off"
    if strokes[-1].last_turn > end - EDGE and np.isnan(strokes[-1].bounds.end):
        return "cut_off"
    if lowering is None:
        return "cut_off" if strokes[0].last_turn > end - EDGE else "failed"
    if lowering.travel.range < WHOLE * reps.range:
        return "short"
    if raising is not None and raising.travel.range < TURNED_BACK * lowering.travel.range:
        # Whether a way up that the clip's end breaks off would have turned back, nobody saw.
        return "cut_off" if raising.last_turn > end - EDGE else "failed"
    return "whole"
