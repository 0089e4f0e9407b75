"""Driving angles whose speed is known at every moment, and their strokes by the design's definition on a fine clock."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import cumulative_trapezoid

from vision.filters import low_pass

Array = NDArray[np.float64]
Shape = Literal["even", "smooth", "stop", "drop"]

RATE: Final = 10_000
RAMP: Final = 0.08
"""Seconds that an even stroke takes to reach its speed."""
SLOWEST, FASTEST = 2.0, 6.0


@dataclass(frozen=True)
class Piece:
    """A stretch of time in which the angle changes by so many degrees; a pause if by few."""

    seconds: float
    degrees: float = 0.0
    shape: Shape = "even"

    def speed(self) -> Array:
        """deg/s on the fine clock."""
        n = round(self.seconds * RATE)
        share = (np.arange(n) + 0.5) / n
        speed = _SHAPES[self.shape](share, self.seconds)
        return np.asarray(speed * self.degrees * RATE / max(speed.sum(), 1e-12))


def _even(share: Array, seconds: float) -> Array:
    ramp = min(RAMP / seconds, 0.25)
    return np.clip(np.minimum(share, 1 - share) / ramp, 0, 1)


def _smooth(share: Array, _seconds: float) -> Array:
    return np.sin(np.pi * share)


def _stop(share: Array, seconds: float) -> Array:
    """Two even halves with a stop over the middle quarter of the time."""
    moving = np.where(share < 0.375, share / 0.375, np.where(share > 0.625, (share - 0.625) / 0.375, 0.0))
    return np.where((share >= 0.375) & (share <= 0.625), 0.0, _even(moving, 0.375 * seconds))


def _drop(share: Array, seconds: float) -> Array:
    """Slow for the first two thirds of the range, then four times as fast."""
    slow = 8 / 9  # of the time: two thirds of the way at 1, one third at 4
    return _even(share, seconds) * np.interp(share, [slow - 0.02, slow + 0.02], [1.0, 4.0])


_SHAPES: Final = {"even": _even, "smooth": _smooth, "stop": _stop, "drop": _drop}


@dataclass(frozen=True)
class Stroke:
    """One stroke by the definition, seconds; nan where the clip's edge cuts it off."""

    start: float
    end: float
    range: float
    mean_speed: float


@dataclass(frozen=True)
class Curve:
    """An angle on the fine clock."""

    time: Array
    angle: Array
    speed: Array

    def at(self, times: Array, noise: float = 0.0, seed: int = 0) -> Array:
        """The angle at frame times, with slow noise (below 1 Hz) of so many degrees RMS, as smoothing leaves it."""
        angle = np.interp(times, self.time, self.angle)
        if not noise:
            return np.asarray(angle)
        even = np.arange(0, self.time[-1] + 0.1, 0.01)
        wander = low_pass(np.random.default_rng(seed).normal(size=len(even)), 100, 1.0)
        return np.asarray(angle + np.interp(times, even, noise * wander / wander.std()))

    def frames(self, rate: float, *, varies: bool = False) -> Array:
        """Frame times from first to last, even or as a phone varies them (a third either way)."""
        even = np.arange(0, self.time[-1], 1 / rate)
        if not varies:
            return even
        return np.asarray(even + np.random.default_rng(7).uniform(0, 0.6 / rate, len(even)))

    def stroke(self, turn: float, next_turn: float, v: float | None = None) -> Stroke:
        """The stroke between two turning points; bounds with its own v unless told."""
        a, b = (round(t * RATE) for t in (turn, next_turn))
        a, b = max(a, 0), min(b, len(self.time) - 1)
        onward = np.sign(self.angle[b] - self.angle[a])
        way, speed = onward * (self.angle - self.angle[a]), onward * self.speed
        full = float(way[b])

        def passage(share: float) -> int:
            return a + int(np.argmax(way[a : b + 1] >= share * full))

        mean = 0.9 * full / (self.time[passage(0.95)] - self.time[passage(0.05)])
        v = float(np.clip(0.1 * mean, SLOWEST, FASTEST)) if v is None else v
        below = speed < v
        rises = np.flatnonzero(below[:-1] & ~below[1:]) + 1
        falls = np.flatnonzero(~below[:-1] & below[1:]) + 1
        early, late = rises[rises <= passage(0.10)], falls[falls >= passage(0.90)]
        start = float(self.time[early[-1]]) if len(early) else float("nan")
        end = float(self.time[late[0]]) if len(late) else float("nan")
        return Stroke(start, end, full, mean)


def curve(pieces: Sequence[Piece], start: float = 0.0) -> Curve:
    """Pieces one after the other, from `start` degrees."""
    speed = np.concatenate([piece.speed() for piece in pieces])
    time = np.arange(len(speed)) / RATE
    return Curve(time, start + cumulative_trapezoid(speed, dx=1 / RATE, initial=0), speed)


def common_v(strokes: Sequence[Stroke]) -> float:
    """V of a rep, deg/s."""
    return float(np.clip(0.1 * min(stroke.mean_speed for stroke in strokes), SLOWEST, FASTEST))
