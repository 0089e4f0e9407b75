"""Where a stroke begins and ends: the driving angle's speed through v, found between frames.

The definition is the design's own. A stroke begins at the last rise of the driving angle's speed through v before 10 %
of its range and ends at the first fall through v after 90 %. v is one number per rep: 10 % of the slower stroke's mean
speed (its range between 5 % and 95 %, over the time that took), kept within 2 to 6 deg/s.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.ndimage import gaussian_filter1d

from vision.filters import resample

Array = NDArray[np.float64]

GRID: Final = 0.004
"""Seconds between the points at which the spline is read."""
SMOOTHING: Final = 0.03
"""Seconds, standard deviation of the kernel that the driving angle is smoothed with."""
BEYOND: Final = 0.5
"""Seconds beyond a turning point in which the speed is still looked at: a pause's noise turns before the stroke does."""
REST: Final = 25
"""Grid points (0.1 s) over which the mean speed must be below v beyond a stroke's end: noise dips shorter than that."""
LONG_REST: Final = 150
AT_AN_END: Final = 0.25
"""Grid points (0.6 s) over which the mean speed must be below v, and the share of the range from either end within which
that rest is a stroke's end and no stop: what the angle still does beyond it is settling or coming out."""
SLOWEST: Final = 2.0
FASTEST: Final = 6.0
"""Bounds of v, deg/s."""


@dataclass(frozen=True)
class Travel:
    """The driving angle from a little before one turning point to a little after the next, on a fine even grid."""

    time: Array
    way: Array
    """Degrees travelled since the start, from 0 to `range`; outside of these before a set and after it."""
    speed: Array
    """deg/s, positive onward."""
    range: float
    turn: int
    """Grid index of the first turning point."""

    def crossing(self, share: float) -> int:
        """Grid index of the first passage of a share of the range."""
        over = self.way[self.turn :] >= share * self.range
        return self.turn + int(np.argmax(over)) if over.any() else len(self.way) - 1

    def mean_speed(self) -> float:
        """Between 5 % and 95 % of the range."""
        first, last = self.crossing(0.05), self.crossing(0.95)
        return 0.9 * self.range / max(self.time[last] - self.time[first], GRID)


@dataclass(frozen=True)
class Bounds:
    """Begin and end of a stroke in seconds; nan where the clip's edge cuts it off."""

    start: float
    end: float


def smooth_spline(time: Array, angle: Array) -> CubicSpline:
    """The driving angle (frames,) between frames, smoothed over about a frame (Gaussian kernel)."""
    even, value = resample(time, angle, 1 / GRID)
    return CubicSpline(even, gaussian_filter1d(value, SMOOTHING / GRID, mode="nearest"))


def travel(
    spline: CubicSpline, start: float, end: float, rest: tuple[float | None, float | None] = (None, None)
) -> Travel:
    """Read the spline of the driving angle from one turning point to the next, and a little beyond both.

    `rest` is the angle at which the stroke sets out and the one at which it arrives, where these are known better than
    from the turning points: before a set and after it the athlete may go further.
    """
    time = np.arange(max(start - BEYOND, spline.x[0]), min(end + BEYOND, spline.x[-1]), GRID)
    value, speed = spline(time), spline(time, 1)
    first, last = (float(spline(at)) if known is None else known for at, known in zip((start, end), rest, strict=True))
    onward = np.sign(last - first) or 1.0
    turn = int(np.searchsorted(time, start))
    return Travel(time, onward * (value - first), onward * speed, abs(last - first), turn)


def threshold(travels: list[Travel]) -> float:
    """V in deg/s for the strokes of one rep."""
    return float(np.clip(0.1 * min(t.mean_speed() for t in travels), SLOWEST, FASTEST))


def bounds(travel: Travel, v: float) -> Bounds:
    """Begin and end of a stroke. A rest that creeps by more than a tenth of the range is still no part of it."""
    first, last = travel.crossing(0.10), travel.crossing(0.90)
    start, end = _rise(travel, v, first), _fall(travel, v, last)
    moving = first + np.flatnonzero(travel.speed[first : last + 1] >= v)
    if np.isnan(start) and len(moving) and moving[0] > first:
        start = _rise(travel, v, int(moving[0]))
    if np.isnan(end) and len(moving) and moving[-1] < last:
        end = _fall(travel, v, int(moving[-1]))
    return _without_rests(travel, v, Bounds(start, end))


def _without_rests(travel: Travel, v: float, found: Bounds) -> Bounds:
    """Bounds drawn in to the far side of long rests near the ends of the range."""
    resting = travel.way[LONG_REST:] - travel.way[:-LONG_REST] < v * LONG_REST * GRID
    begin, end = travel.crossing(AT_AN_END), travel.crossing(1 - AT_AN_END)
    late = end + np.flatnonzero(resting[end : travel.crossing(0.90)])
    early = LONG_REST + np.flatnonzero(resting[: max(begin - LONG_REST, 0)])
    early = early[early > travel.crossing(0.10)]
    last = _fall(travel, v, int(late[0])) if len(late) else np.nan
    first = _rise(travel, v, int(early[-1])) if len(early) else np.nan
    return Bounds(float(np.fmax(found.start, first)), float(np.fmin(found.end, last)))


def stops(travel: Travel, v: float, within: Bounds) -> float:
    """Seconds within the stroke during which the speed is below v."""
    inside = (travel.time > within.start) & (travel.time < within.end)
    return float(np.count_nonzero(travel.speed[inside] < v) * GRID)


def thirds(travel: Travel, within: Bounds) -> tuple[float, float, float]:
    """Shares of the stroke's time spent in the first, middle and last third of its range."""
    one, two = (float(travel.time[travel.crossing(share)]) for share in (1 / 3, 2 / 3))
    whole = within.end - within.start
    shares = np.clip([one - within.start, two - one, within.end - two], 0, None) / whole
    return (float(shares[0]), float(shares[1]), float(shares[2]))


def time_to_travel(travel: Travel, within: Bounds, degrees: float) -> tuple[float, float]:
    """Seconds in which the first and the last so many degrees of a stroke are travelled; at most the whole stroke's."""
    way, time = travel.way, travel.time
    first, last = (int(np.clip(np.searchsorted(time, at), 0, len(time) - 1)) for at in (within.start, within.end))
    after = np.flatnonzero(way[first : last + 1] - way[first] >= degrees)
    before = np.flatnonzero(way[last] - way[first : last + 1] >= degrees)
    whole = GRID * (last - first)
    return (GRID * float(after[0]) if len(after) else whole, whole - GRID * float(before[-1]) if len(before) else whole)


def _rise(travel: Travel, v: float, before: int) -> float:
    """Last rise of the speed through v at or before a grid index, from a rest that is no flicker."""
    below = travel.speed[: before + 1] < v
    rises = np.flatnonzero(below[:-1] & ~below[1:])
    rested = rises[travel.way[rises] - travel.way[np.maximum(rises - REST, 0)] < v * REST * GRID]
    return _between(travel, v, int(rested[-1])) if len(rested) else float("nan")


def _fall(travel: Travel, v: float, after: int) -> float:
    """First fall of the speed through v at or after a grid index, into a rest that is no flicker."""
    below = travel.speed[after:] < v
    falls = after + np.flatnonzero(~below[:-1] & below[1:])
    rested = falls[travel.way[np.minimum(falls + REST, len(travel.way) - 1)] - travel.way[falls] < v * REST * GRID]
    return _between(travel, v, int(rested[0])) if len(rested) else float("nan")


def _between(travel: Travel, v: float, i: int) -> float:
    """Time between grid points i and i + 1 at which the speed passes v."""
    a, b = travel.speed[i], travel.speed[i + 1]
    return float(travel.time[i] + GRID * (v - a) / (b - a))
