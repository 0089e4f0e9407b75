"""How good it must be: each quantity's target, and how far the comparisons keep to it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.bench.compare import Comparison

RESAMPLES = 1000


@dataclass(frozen=True)
class Target:
    """`limit` is what the 95th percentile of the absolute error must keep to, which may depend on the truth."""

    title: str
    unit: str
    words: str
    applies: Callable[[Comparison], bool]
    limit: Callable[[Comparison], float] | None
    median: float | None = None


@dataclass(frozen=True)
class Row:
    """A target and what was reached. `share` is the 95th percentile of error over limit; under 1 is kept."""

    target: Target
    clips: int
    count: int
    missing: int
    median: float
    p95: float
    share: float
    coverage: float
    coverage_interval: tuple[float, float]
    width: float
    """Root mean square of U95 over that of the error: at most 3."""

    @property
    def kept(self) -> bool | None:
        """Whether the target is kept; None where there is none or nothing to judge."""
        if self.target.limit is None or not self.count:
            return None
        return self.share <= 1 and (self.target.median is None or self.median <= self.target.median)


def _last(comparison: Comparison) -> str:
    return comparison.name.rsplit(".", 1)[-1]


def _named(*names: str) -> Callable[[Comparison], bool]:
    return lambda c: _last(c) in names and not c.name.startswith("sway.")


def _time_limit(comparison: Comparison) -> float:
    return max(0.12, 0.05 * comparison.truth)


def _sway_limit(comparison: Comparison) -> float:
    return max(2.0, 0.15 * comparison.truth)


LINE = _named("body", "lean", "trunk")
JOINT = _named("elbow", "hip", "knee", "shoulder")

TARGETS = (
    Target("lowering", "s", "median 0.05, p95 max(0.12, 5 %)", _named("lowering"), _time_limit, 0.05),
    Target("raising", "s", "median 0.05, p95 max(0.12, 5 %)", _named("raising"), _time_limit, 0.05),
    Target("pauses", "s", "median 0.05, p95 0.12", _named("top_pause", "bottom_pause"), lambda _: 0.12, 0.05),
    Target("still", "s", "p95 0.15", _named("still"), lambda _: 0.15),
    Target("body, trunk, lean: good view", "deg", "p95 1.5", lambda c: LINE(c) and c.good_view, lambda _: 1.5),
    Target(
        "body, trunk, lean: otherwise", "deg", "p95 3", lambda c: LINE(c) and not c.good_view and c.edges, lambda _: 3.0
    ),
    Target(
        "... nothing to level by", "deg", "U95 says so", lambda c: LINE(c) and not c.good_view and not c.edges, None
    ),
    Target("elbow: flare <= 30", "deg", "p95 6", lambda c: _last(c) == "elbow" and c.flare <= 30, lambda _: 6.0),
    Target("elbow: flare > 30", "deg", "p95 10", lambda c: _last(c) == "elbow" and c.flare > 30, lambda _: 10.0),
    Target("shoulder: flare <= 30", "deg", "p95 6", lambda c: _last(c) == "shoulder" and c.flare <= 30, lambda _: 6.0),
    Target("shoulder: flare > 30", "deg", "p95 10", lambda c: _last(c) == "shoulder" and c.flare > 30, lambda _: 10.0),
    Target("hip", "deg", "p95 6", _named("hip"), lambda _: 6.0),
    Target("knee", "deg", "p95 6", _named("knee"), lambda _: 6.0),
    Target("legs", "deg", "none", _named("legs"), None),
    Target("drift", "deg", "none", _named("drift"), None),
    Target("sway along floor", "mm", "p95 max(2, 15 %)", lambda c: c.name == "sway.along_floor", _sway_limit),
    Target("sway vertical", "mm", "p95 max(2, 15 %)", lambda c: c.name == "sway.vertical", _sway_limit),
)

TIMES = Target("all times", "s", "", _named("lowering", "raising", "top_pause", "bottom_pause", "still"), None)
LINES = Target("all line angles", "deg", "", LINE, None)
JOINTS = Target("all joint angles", "deg", "", JOINT, None)
EVERYTHING = Target("everything", "", "coverage 0.95, width <= 3", lambda _: True, None)


def judge(target: Target, comparisons: Sequence[Comparison]) -> Row:
    """What the comparisons that a target applies to have reached."""
    chosen = [c for c in comparisons if target.applies(c)]
    valued = [c for c in chosen if c.value is not None]
    error = np.abs([c.error for c in valued])
    limits = np.array([target.limit(c) for c in valued]) if target.limit else np.full(len(valued), np.nan)
    stated = [c for c in valued if c.U95 is not None]
    inside = np.array([abs(c.error) <= (c.U95 or 0) for c in stated])
    interval = _clustered(inside, [c.clip for c in stated])
    spread = _rms(np.array([c.error for c in stated]))
    return Row(
        target,
        len({c.clip for c in chosen}),
        len(valued),
        len(chosen) - len(valued),
        _or_nan(np.median, error),
        _p95(error),
        _p95(error / limits),
        _or_nan(np.mean, inside),
        interval,
        _rms(np.array([c.U95 for c in stated])) / spread if spread else float("nan"),
    )


def _clustered(inside: NDArray[np.bool_], clips: list[str]) -> tuple[float, float]:
    """95 % interval of the share inside, by resampling whole clips: the reps of one clip err together."""
    names = sorted(set(clips))
    if len(names) < 2:
        return (float("nan"), float("nan"))
    index = np.array([names.index(clip) for clip in clips])
    held, all_ = np.bincount(index, weights=inside), np.bincount(index)
    draws = np.random.default_rng(0).integers(len(names), size=(RESAMPLES, len(names)))
    low, high = np.quantile(held[draws].sum(axis=1) / all_[draws].sum(axis=1), [0.025, 0.975])
    return (float(low), float(high))


def _p95(x: NDArray[np.float64]) -> float:
    return _or_nan(lambda a: np.quantile(a, 0.95), x)


def _rms(x: NDArray[np.float64]) -> float:
    return _or_nan(lambda a: np.sqrt(np.mean(a**2)), x)


def _or_nan(statistic: Callable[[NDArray[np.float64]], np.floating], x: NDArray[np.float64]) -> float:
    return float(statistic(x)) if len(x) else float("nan")
