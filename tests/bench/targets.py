"""How good it must be: each quantity's target, and how far the comparisons keep to it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from models.quantity import Frozen
from tests.bench import clusters
from tests.bench.compare import Comparison

SHARE, NEARLY, WIDEST = 0.95, 0.93, 3.0
"""U95 is kept to where the interval of the share that it holds includes 0.95 or lies above 0.93, and where it is no
larger than three times the error (root mean squares)."""
FEWEST = 10
"""Clips: fewer tell nothing about a share of 95 %."""

Limit = Callable[[Comparison], float]


@dataclass(frozen=True)
class Target:
    """`limit` is what the 95th percentile of the absolute error must keep to, which may depend on the truth."""

    title: str
    unit: str
    words: str
    applies: Callable[[Comparison], bool]
    limit: Limit | None = None
    median: float | None = None


class Reached(Frozen):
    """Absolute errors of one quantity: how many values, over how many clips, and how large."""

    clips: int
    count: int
    missing: int
    """Values of the truth that have no measured one beside them."""
    median: float | None
    p95: float | None
    share: float | None
    """95th percentile of error over limit; the target is kept up to 1."""


class Coverage(Frozen):
    """How often U95 holds the truth."""

    clips: int
    share: float
    interval: tuple[float, float] | None
    width: float | None
    """Root mean square of U95 over that of the error."""

    @property
    def kept(self) -> bool | None:
        """None where there are too few clips, or no error at all, to tell."""
        if self.interval is None or self.width is None or self.clips < FEWEST:
            return None
        low, high = self.interval
        return (low <= SHARE <= high or low > NEARLY) and self.width <= WIDEST


class Row(Frozen):
    """One target, what the program reached, what the baseline reached."""

    title: str
    unit: str
    target: str
    program: Reached
    coverage: Coverage | None
    kept: bool | None
    """Whether errors keep to the target; None where there is none, or nothing to judge."""
    baseline: Reached | None


def _last(comparison: Comparison) -> str:
    return comparison.name.rsplit(".", 1)[-1]


def _is_angle(comparison: Comparison) -> bool:
    return not comparison.name.startswith(("sway.", "standard.", "worst."))


def _named(*names: str) -> Callable[[Comparison], bool]:
    return lambda c: _last(c) in names and _is_angle(c)


def _starting(*words: str) -> Callable[[Comparison], bool]:
    return lambda c: c.name.startswith(words)


def _flared(name: str, *, beyond: bool) -> Callable[[Comparison], bool]:
    return lambda c: _last(c) == name and _is_angle(c) and (c.flare > 30) == beyond


def _time_limit(comparison: Comparison) -> float:
    return max(0.12, 0.05 * comparison.truth)


def _sway_limit(comparison: Comparison) -> float:
    return max(2.0, 0.15 * comparison.truth)


LINE = _named("body", "lean", "trunk")
JOINT = _named("elbow", "hip", "knee", "shoulder")
SWAY = _starting("sway.along_floor", "sway.vertical")
TIME = _named("lowering", "raising", "top_pause", "bottom_pause", "still")

STANDARDS = Target("standards", "% of height", "", _starting("standard."))

TARGETS = (
    Target("lowering", "s", "0.05; 0.12 or 5 %", _named("lowering"), _time_limit, 0.05),
    Target("raising", "s", "0.05; 0.12 or 5 %", _named("raising"), _time_limit, 0.05),
    Target("pauses", "s", "0.05; 0.12", _named("top_pause", "bottom_pause"), lambda _: 0.12, 0.05),
    Target("`still` of a hold", "s", "0.15", _named("still"), lambda _: 0.15),
    Target("body, trunk, lean: good view", "deg", "1.5", lambda c: LINE(c) and c.good_view, lambda _: 1.5),
    Target(
        "body, trunk, lean: otherwise", "deg", "3", lambda c: LINE(c) and not c.good_view and c.edges, lambda _: 3.0
    ),
    Target(
        "body, trunk, lean: nothing to level by", "deg", "U95 says so",
        lambda c: LINE(c) and not c.good_view and not c.edges,
    ),
    Target("elbow: flare up to 30", "deg", "6", _flared("elbow", beyond=False), lambda _: 6.0),
    Target("elbow: flare beyond", "deg", "10", _flared("elbow", beyond=True), lambda _: 10.0),
    Target("shoulder: flare up to 30", "deg", "6", _flared("shoulder", beyond=False), lambda _: 6.0),
    Target("shoulder: flare beyond", "deg", "10", _flared("shoulder", beyond=True), lambda _: 10.0),
    Target("hip", "deg", "6", _named("hip"), lambda _: 6.0),
    Target("knee", "deg", "6", _named("knee"), lambda _: 6.0),
    Target("sway along the floor", "mm", "2 or 15 %", _starting("sway.along_floor"), _sway_limit),
    Target("sway vertical", "mm", "2 or 15 %", _starting("sway.vertical"), _sway_limit),
    Target("sway path", "mm", "", _starting("sway.path")),
    Target("sway speed", "mm/s", "", _starting("sway.speed")),
    Target("sway ellipse", "mm2", "", _starting("sway.ellipse")),
    Target("legs", "deg", "", _named("legs")),
    Target("drift of a hold", "deg", "", _named("drift")),
    Target("worst hip", "deg", "", _starting("worst.hip")),
    Target("hip off the line", "% of line", "", _starting("worst.deviation")),
    STANDARDS,
    Target("swing", "% of height", "", _named("swing")),
    Target("range of the hip in a stroke", "deg", "", _named("hip_range")),
    Target("stops", "s", "", _named("stops")),
    Target("thirds", "share", "", _named("first_third", "middle_third", "last_third")),
)  # fmt: skip

TIMES = Target("all times", "s", "", TIME)
LINES = Target("all body lines", "deg", "", LINE)
JOINTS = Target("all joint angles", "deg", "", JOINT)
EVERYTHING = Target("everything", "", "", lambda _: True)
GROUPS = (TIMES, LINES, JOINTS, EVERYTHING)


def judge(target: Target, comparisons: Sequence[Comparison], plain: Sequence[Comparison] = ()) -> Row:
    """What the comparisons that a target applies to have reached, and the baseline's beside it."""
    chosen = [c for c in comparisons if target.applies(c)]
    beside = [c for c in plain if target.applies(c)]
    reached = _reached(target, chosen)
    return Row(
        title=target.title,
        unit=target.unit,
        target=target.words,
        program=reached,
        coverage=coverage(chosen),
        kept=_kept(target, reached),
        baseline=_reached(target, beside) if any(c.value is not None for c in beside) else None,
    )


def coverage(comparisons: Sequence[Comparison]) -> Coverage | None:
    """How often, and how widely, U95 holds the truth; None where no value states one."""
    stated = [c for c in comparisons if c.U95 is not None and c.value is not None]
    if not stated:
        return None
    inside = np.array([abs(c.error) <= (c.U95 or 0.0) for c in stated])
    spread = _rms(np.array([c.error for c in stated]))
    return Coverage(
        clips=len({c.clip for c in stated}),
        share=float(inside.mean()),
        interval=clusters.interval(inside, np.ones(len(stated)), [c.clip for c in stated]),
        width=_rms(np.array([c.U95 for c in stated], dtype=float)) / spread if spread else None,
    )


def _reached(target: Target, chosen: Sequence[Comparison]) -> Reached:
    valued = [c for c in chosen if c.value is not None]
    error = np.abs([c.error for c in valued])
    limits = np.array([target.limit(c) for c in valued]) if target.limit else None
    return Reached(
        clips=len({c.clip for c in chosen}),
        count=len(valued),
        missing=len(chosen) - len(valued),
        median=float(np.median(error)) if valued else None,
        p95=_p95(error),
        share=None if limits is None else _p95(error / limits),
    )


def _kept(target: Target, reached: Reached) -> bool | None:
    if reached.share is None or reached.median is None:
        return None
    return reached.share <= 1 and (target.median is None or reached.median <= target.median)


def _p95(x: NDArray[np.float64]) -> float | None:
    return float(np.quantile(x, 0.95)) if len(x) else None


def _rms(x: NDArray[np.float64]) -> float:
    return float(np.sqrt(np.mean(x**2)))
