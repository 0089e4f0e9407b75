"""Whether a value respects its limits, when the value is uncertain.

Source: JCGM 106:2012, Evaluation of measurement data - The role of measurement uncertainty in conformity assessment,
clauses 7.3 and 7.4: the probability of conformity under a normal distribution with mean y and standard deviation u.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import erfc, sqrt
from statistics import fmean

from models.document import VerdictWord
from models.limit import Limit
from models.quantity import Measured

MET = 0.95
MISSED = 0.05
FINEST = 4.0
"""A band narrower than this many standard uncertainties cannot be told by the clip, wherever the value lies."""
ROUNDING = 1e-9


@dataclass(frozen=True)
class Doubt:
    """Probability that the true value lies below the low limit, and that it lies above the high one."""

    below: float
    above: float

    @property
    def p(self) -> float:
        """Probability that the limits are respected."""
        return max(0.0, 1.0 - self.below - self.above)

    @property
    def verdict(self) -> VerdictWord:
        """Met where both limits are respected, missed where one of them is passed, with at least 95 %."""
        if 1.0 - max(self.below, self.above) <= MISSED + ROUNDING:
            return "missed"
        return "met" if self.p >= MET - ROUNDING else "unsure"


def doubt(measured: Measured, limit: Limit) -> Doubt:
    """How sure it is that a measured value respects its limits."""
    below = 0.0 if limit.low is None else _reaches(limit.low - measured.value, measured.u)
    above = 0.0 if limit.high is None else _reaches(measured.value - limit.high, measured.u)
    return Doubt(below, above)


def mean(doubts: Sequence[Doubt]) -> Doubt:
    """The doubt over cases that are equally probable."""
    return Doubt(fmean(each.below for each in doubts), fmean(each.above for each in doubts))


def is_too_fine(measured: Measured, limit: Limit) -> bool:
    """Whether the band between two limits is narrower than this measurement can tell."""
    return limit.low is not None and limit.high is not None and limit.high - limit.low < FINEST * measured.u


def combine(rulings: Iterable[tuple[float | None, VerdictWord]]) -> VerdictWord:
    """Verdict of a rep or hold from the probability and verdict of each of its checks.

    Met only if the doubts (1 - p) sum to at most 5 %: the sum bounds the chance that any one limit is not respected.
    Without any check there is nothing to miss.
    """
    rulings = list(rulings)
    words = [word for _, word in rulings]
    if "missed" in words:
        return "missed"
    if "unsure" in words:
        return "unsure"
    doubts = sum(1.0 - p for p, _ in rulings if p is not None)
    return "met" if doubts <= 1.0 - MET + ROUNDING else "unsure"


def _reaches(gap: float, u: float) -> float:
    """Probability that the true value lies beyond a limit that is `gap` past the measured value (negative: short of)."""
    if u == 0:
        return 1.0 if gap > 0 else 0.0
    return 0.5 * erfc(-gap / (u * sqrt(2)))
