"""How often a single limit would be ruled wrongly, or not at all: limits laid around each true value.

A limit's distance is told in % of the limit; for an angle, whose zero is arbitrary, in % of the larger of it and 45
degrees.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from models.conformity import doubt
from models.limit import Limit
from models.quantity import Measured, Unit
from tests.bench.compare import Comparison

SHARES = (0.02, 0.05, 0.11, 0.2, 0.4)
PAST = 0.1
SMALLEST_ANGLE = 45.0
TIMES = {"lowering", "raising", "bottom_pause", "top_pause", "still"}


@dataclass(frozen=True)
class Tally:
    """Of `rulings`, how many were wrong; wrong though the truth lies more than U95 past; and unsure, if 10 % past."""

    rulings: int
    wrong: int
    wrong_beyond: int
    past: int
    unsure_past: int

    def __str__(self) -> str:
        if not self.rulings or not self.past:
            return "verdicts on single limits: none to judge"
        return (
            f"verdicts on {self.rulings} limits laid around the true values: "
            f"wrong {100 * self.wrong / self.rulings:.2f} % (target: at most 1 %); "
            f"wrong past U95 {self.wrong_beyond} (target: 0); "
            f"unsure though 10 % past {100 * self.unsure_past / self.past:.1f} % (target: at most 15 %)"
        )


def tally(comparisons: Sequence[Comparison]) -> Tally:
    rulings = wrong = wrong_past = past = unsure = 0
    for comparison in comparisons:
        for limit in limits_around(comparison):
            respected = limit.admits(comparison.truth)
            distance = abs((limit.low if limit.low is not None else limit.high or 0.0) - comparison.truth)
            verdict = _ruling(comparison, limit)
            rulings += 1
            if verdict == ("missed" if respected else "met"):
                wrong += 1
                wrong_past += distance > (comparison.U95 or 0.0)
            if distance > PAST * _scale(comparison) and not respected:
                past += 1
                unsure += verdict == "unsure"
    return Tally(rulings, wrong, wrong_past, past, unsure)


def limits_around(comparison: Comparison) -> Iterator[Limit]:
    """At least and at most, below and above the truth."""
    for share in SHARES:
        for end in (comparison.truth - share * _scale(comparison), comparison.truth + share * _scale(comparison)):
            yield Limit(low=end)
            yield Limit(high=end)


def _ruling(comparison: Comparison, limit: Limit) -> str:
    if comparison.value is None or comparison.U95 is None:
        return "unsure"
    unit: Unit = "s" if comparison.name in TIMES else "deg"
    return doubt(Measured(value=comparison.value, U95=comparison.U95, unit=unit), limit).verdict


def _scale(comparison: Comparison) -> float:
    return comparison.truth if comparison.name in TIMES else max(abs(comparison.truth), SMALLEST_ANGLE)
