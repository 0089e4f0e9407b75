"""How often a single limit would be ruled wrongly, or not at all: limits laid around each true value.

A limit's distance is told in % of the limit: of a time or a sway as it is; of an angle, whose zero is arbitrary, of the
larger of it and 45 degrees; of a standard, whose limit is usually zero, of a quarter of the athlete's height.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from models.conformity import doubt
from models.limit import Limit
from models.quantity import Frozen, Measured, Unit
from tests.bench import clusters
from tests.bench.compare import Comparison
from tests.bench.targets import EVERYTHING, JOINT, LINE, SWAY, TIME, Target

SHARES = (0.02, 0.05, 0.11, 0.2, 0.4)
PAST = 0.1
SMALLEST_ANGLE = 45.0
STANDARD = 25.0
WRONG, UNSURE = 0.01, 0.15
"""Targets: shares of wrong rulings, and of unsure ones where the truth lies more than 10 % past the limit."""


def _is_standard(comparison: Comparison) -> bool:
    return comparison.name.startswith("standard.")


def _can_be_limited(comparison: Comparison) -> bool:
    return any(is_one(comparison) for is_one in (TIME, LINE, JOINT, _is_standard, SWAY))


GROUPS = (
    Target("times", "s", "", TIME),
    Target("body lines", "deg", "", LINE),
    Target("joint angles", "deg", "", JOINT),
    Target("sway", "mm", "", SWAY),
    Target("standards", "% of height", "", _is_standard),
    EVERYTHING,
)


class Tally(Frozen):
    """Of `rulings`, how many were wrong; wrong though the truth lies more than U95 past; and unsure, if 10 % past."""

    title: str
    rulings: int
    wrong: int
    wrong_interval: tuple[float, float] | None
    """95 % interval of the share of wrong rulings, clustered by clip."""
    wrong_beyond: int
    past: int
    unsure_past: int

    @property
    def kept(self) -> bool | None:
        if not self.rulings or not self.past:
            return None
        few = self.wrong <= WRONG * self.rulings and self.unsure_past <= UNSURE * self.past
        return few and not self.wrong_beyond


def tallies(comparisons: Sequence[Comparison]) -> tuple[Tally, ...]:
    """One for each kind of quantity that a limit can be set on, and one for all together."""
    judged = [c for c in comparisons if _can_be_limited(c)]
    return tuple(tally(group.title, [c for c in judged if group.applies(c)]) for group in GROUPS)


def tally(title: str, comparisons: Sequence[Comparison]) -> Tally:
    ruled = [(c, limit, _ruling(c, limit)) for c in comparisons for limit in limits_around(c)]
    wrong = np.array([verdict == ("missed" if limit.admits(c.truth) else "met") for c, limit, verdict in ruled], bool)
    beyond = np.array([_distance(c, limit) > (c.U95 or 0.0) for c, limit, _ in ruled], bool)
    past = np.array([_is_past(c, limit) for c, limit, _ in ruled], bool)
    unsure = np.array([verdict == "unsure" for *_, verdict in ruled], bool)
    return Tally(
        title=title,
        rulings=len(ruled),
        wrong=int(wrong.sum()),
        wrong_interval=clusters.interval(wrong, np.ones(len(wrong)), [c.clip for c, *_ in ruled]),
        wrong_beyond=int((wrong & beyond).sum()),
        past=int(past.sum()),
        unsure_past=int((unsure & past).sum()),
    )


def limits_around(comparison: Comparison) -> Iterator[Limit]:
    """At least and at most, below and above the truth."""
    for share in SHARES:
        for end in (comparison.truth - share * _scale(comparison), comparison.truth + share * _scale(comparison)):
            yield Limit(low=end)
            yield Limit(high=end)


def _ruling(comparison: Comparison, limit: Limit) -> str:
    if comparison.value is None or comparison.U95 is None:
        return "unsure"
    measured = Measured(value=comparison.value, U95=comparison.U95, unit=_unit(comparison))
    return doubt(measured, limit).verdict


def _distance(comparison: Comparison, limit: Limit) -> float:
    end = limit.low if limit.low is not None else limit.high
    assert end is not None
    return abs(end - comparison.truth)


def _is_past(comparison: Comparison, limit: Limit) -> bool:
    return not limit.admits(comparison.truth) and _distance(comparison, limit) > PAST * _scale(comparison)


def _unit(comparison: Comparison) -> Unit:
    if TIME(comparison):
        return "s"
    return "% of height" if _is_standard(comparison) else "mm" if SWAY(comparison) else "deg"


def _scale(comparison: Comparison) -> float:
    if _is_standard(comparison):
        return STANDARD
    if TIME(comparison) or SWAY(comparison):
        return comparison.truth
    return max(abs(comparison.truth), SMALLEST_ANGLE)
