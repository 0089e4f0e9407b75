"""Where strokes, pauses, reps and holds begin and end, by the design's definitions, from exact angles on a fine clock.

A stroke begins at the last rise of the driving angle's speed through v before 10 % of its range and ends at the first
fall through v after 90 %. v is 10 % of the slower stroke's mean speed between 5 % and 95 %, kept within 2-6 deg/s.
A hold is the longest stretch of at least 1 s in which each angle stays within 5 degrees of its median over the
stretch's middle 80 %; excursions under 0.3 s and 15 degrees do not end it.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, detrend, sosfiltfilt
from scipy.stats import chi2

Array = NDArray[np.float64]
SLOWEST, FASTEST = 2.0, 6.0
STILL, EXCURSION, BRIEF, SHORTEST = 5.0, 15.0, 0.3, 1.0
SWAY_CUTOFF, SWAY_WINDOW = 5.0, 5.0
TWO_PASSES = (2**0.5 - 1) ** 0.25
"""Where a second-order Butterworth filter run both ways has its cutoff, as a share of the single one's (Winter 2009)."""


@dataclass(frozen=True)
class Window:
    """A stretch of the clock (seconds) in which one stroke runs from a turning point to the next."""

    start: float
    end: float


@dataclass(frozen=True)
class Span:
    """Begin and end in seconds; None where the clip's edge cuts it off."""

    start: float | None
    end: float | None


class Travel:
    """The driving angle over one stroke: degrees travelled and speed, both positive onward."""

    def __init__(self, time: Array, angle: Array, window: Window) -> None:
        inside = (time >= window.start) & (time <= window.end)
        self.time, value = time[inside], angle[inside]
        onward = 1.0 if value[-1] >= value[0] else -1.0
        level = onward * value
        half = int(np.argmax(level >= (level.min() + level.max()) / 2))
        first = int(np.argmin(level[: half + 1]))
        self.way = level - level[first]
        self.range = float(level[half:].max() - level[first])
        self.speed = np.gradient(level, self.time)
        self.first = first

    def passes(self, share: float) -> int:
        """Index of the first passage of a share of the range."""
        return self.first + int(np.argmax(self.way[self.first :] >= share * self.range))

    def mean_speed(self) -> float:
        """Between 5 % and 95 % of the range, deg/s."""
        return 0.9 * self.range / float(self.time[self.passes(0.95)] - self.time[self.passes(0.05)])

    def span(self, v: float) -> Span:
        """Begin and end by the definition."""
        below = self.speed < v
        early, late = self.passes(0.10), self.passes(0.90)
        rises = np.flatnonzero(below[:early] & ~below[1 : early + 1])
        falls = np.flatnonzero(~below[late:-1] & below[late + 1 :])
        start = self._between(int(rises[-1]), v) if len(rises) else None
        end = self._between(late + int(falls[0]), v) if len(falls) else None
        return Span(start, end)

    def thirds(self, start: float, end: float) -> tuple[float, float, float]:
        """Shares of the time between two bounds spent in the first, middle and last third of the range."""
        one, two = (float(self.time[self.passes(share)]) for share in (1 / 3, 2 / 3))
        first, second, third = np.clip([one - start, two - one, end - two], 0, None) / (end - start)
        return float(first), float(second), float(third)

    def stops(self, start: float, end: float, v: float) -> float:
        """Seconds between two bounds in which the speed is below v."""
        inside = (self.time > start) & (self.time < end)
        return float(np.count_nonzero(self.speed[inside] < v) * (self.time[1] - self.time[0]))

    def _between(self, i: int, v: float) -> float:
        a, b = self.speed[i], self.speed[i + 1]
        return float(self.time[i] + (self.time[i + 1] - self.time[i]) * (v - a) / (b - a))


def threshold(travels: list[Travel]) -> float:
    """V of one rep, deg/s."""
    return float(np.clip(0.1 * min(travel.mean_speed() for travel in travels), SLOWEST, FASTEST))


def still_stretches(time: Array, angles: Array, allowed: NDArray[np.bool_]) -> list[tuple[float, float]]:
    """Start and end of every hold, in the order of time.

    Args:
        time: (N,) seconds, evenly spaced.
        angles: (A, N) degrees that must stay still.
        allowed: (N,) where the athlete is in the hold at all.
    """
    found: list[tuple[float, float]] = []
    edges = np.flatnonzero(np.diff(np.concatenate([[False], allowed, [False]]).astype(int)))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        found += _search(time, angles, int(first), int(last))
    return sorted(found)


def _search(time: Array, angles: Array, first: int, last: int) -> list[tuple[float, float]]:
    step = float(time[1] - time[0])
    if (last - first) * step < SHORTEST:
        return []
    best: tuple[int, int] | None = None
    for seed in range(first, last - int(SHORTEST / step) + 1, int(0.5 / step)):
        grown = _grow(angles, first, last, (seed, seed + int(SHORTEST / step)), step)
        if grown and (grown[1] - grown[0]) * step >= SHORTEST and (not best or grown[1] - grown[0] > best[1] - best[0]):
            best = grown
    if best is None:
        return []
    here = (float(time[best[0]]), float(time[best[1] - 1]))
    return [*_search(time, angles, first, best[0]), here, *_search(time, angles, best[1], last)]


def _grow(angles: Array, first: int, last: int, seed: tuple[int, int], step: float) -> tuple[int, int] | None:
    stretch = seed
    for _ in range(30):
        margin = round(0.1 * (stretch[1] - stretch[0]))
        median = np.median(angles[:, stretch[0] + margin : stretch[1] - margin], axis=1)
        apart = np.abs(angles - median[:, None]).max(axis=0)
        calm = _bridge(apart, first, last, step)
        middle = (stretch[0] + stretch[1]) // 2
        if not calm[middle]:
            return None
        ends = np.flatnonzero(~calm)
        left, right = ends[ends < middle], ends[ends > middle]
        grown = (int(left[-1]) + 1 if len(left) else first, int(right[0]) if len(right) else last)
        if grown == stretch:
            return stretch
        stretch = grown
    return stretch


def _bridge(apart: Array, first: int, last: int, step: float) -> NDArray[np.bool_]:
    """Where the angles are still, brief small excursions included."""
    calm = np.asarray(apart <= STILL)
    calm[:first] = calm[last:] = False
    edges = np.flatnonzero(np.diff(calm.astype(int))) + 1
    for begin, end in pairwise(edges):
        inside = not calm[begin] and begin > first and end < last
        if inside and (end - begin) * step < BRIEF and apart[begin:end].max() <= EXCURSION:
            calm[begin:end] = True
    return calm


def sway_rms(path: Array, rate: float) -> Array:
    """RMS (C,) of a path (N, C): without trend, low-passed at an effective 5 Hz, the median over 5 s windows."""
    smooth = _still_path(path, rate)
    windows = np.array_split(smooth, max(1, int(len(smooth) / (rate * SWAY_WINDOW))))
    return np.asarray(np.sqrt(np.median([np.mean(window**2, axis=0) for window in windows], axis=0)))


def sway_shape(path: Array, rate: float) -> dict[str, float]:
    """Length of the same path (N, 2), its mean speed (Prieto 1996), and the area of its 95 % prediction ellipse in the
    chi-square form (Schubert & Kirchner 2014); millimetres and seconds.
    """
    smooth = _still_path(path, rate)
    length = float(np.sum(np.linalg.norm(np.diff(smooth, axis=0), axis=1)))
    spread = float(np.linalg.det(np.cov(smooth, rowvar=False)))
    area = float(np.pi * chi2.ppf(0.95, 2) * np.sqrt(max(spread, 0.0)))
    return {"path": round(length, 2), "speed": round(length * rate / (len(smooth) - 1), 3), "ellipse": round(area, 2)}


def _still_path(path: Array, rate: float) -> Array:
    level = detrend(path, axis=0)
    return np.asarray(sosfiltfilt(butter(2, SWAY_CUTOFF / TWO_PASSES, fs=rate, output="sos"), level, axis=0))
