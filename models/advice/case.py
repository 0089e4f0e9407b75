"""One missed check with all that its advice is drawn from."""

from dataclasses import dataclass
from typing import Self

from models.document import Check, Hold, Rep
from models.limit import Limit
from models.movements import Movement
from models.prescription import Prescription
from models.quantity import Measured


@dataclass(frozen=True)
class Case:
    """A value that passed its limit, in the rep or hold where it did."""

    name: str
    measured: Measured
    limit: Limit
    entry: Rep | Hold
    prescription: Prescription

    @classmethod
    def of(cls, check: Check, entry: Rep | Hold, prescription: Prescription) -> Self | None:
        """None for a check without a value or a limit, of which nothing can be told."""
        if not isinstance(check.measured, Measured) or (check.low is None and check.high is None):
            return None
        return cls(check.name, check.measured, Limit(low=check.low, high=check.high), entry, prescription)

    @property
    def movement(self) -> Movement:
        """What was done, as it was prescribed."""
        return self.prescription.as_movement()

    def at_top(self, end: str) -> bool:
        """Whether an end of the rep, straight or bent, is the upper one."""
        reps = self.movement.reps
        return reps is not None and (end == "bent") == (reps.lowering == "falls")

    @property
    def too_low(self) -> bool:
        """Whether the low limit was passed, rather than the high one."""
        low, high = self.limit.low, self.limit.high
        if low is None or high is None:
            return high is None
        return self.measured.value < (low + high) / 2

    @property
    def digit(self) -> float | None:
        """What the tempo or the hold says of this part, where no limit replaces it."""
        limits, tempo = self.prescription.limits, self.prescription.tempo
        if self.name == "in_position":
            return None if limits.in_position else self.prescription.hold
        digit = tempo.asked().get(self.name) if tempo else None
        return digit if isinstance(digit, float) and digit > 0 and getattr(limits, self.name) is None else None

    @property
    def target(self) -> float:
        """What to aim for: the digit as it was written, else the limit that was passed."""
        end = self.limit.low if self.too_low else self.limit.high
        assert end is not None
        return end if self.digit is None else self.digit

    @property
    def gap(self) -> float:
        """How far the value is from what to aim for, never negative."""
        return abs(self.target - self.measured.value)

    @property
    def of_asked(self) -> str:
        """`3.1 s of 5`, `2.9 s instead of 1`, or `3.1 s, at least 4.5 asked`: for times."""
        value = f"{seconds(self.measured.value, self.gap)} s"
        if self.digit is None:
            return f"{value}, {self.limit} asked"
        return f"{value} {'of' if self.too_low else 'instead of'} {self.digit:g}"

    @property
    def short_of(self) -> str:
        """How many seconds are to be added or left out."""
        return f"{seconds(self.gap, self.gap)} s"


def seconds(value: float, gap: float) -> str:
    """To a tenth, or to a hundredth where the gap to the limit is small."""
    return f"{value:.2f}" if gap < 0.25 else f"{value:.1f}"


def amount(number: int, what: str) -> str:
    """`1 rep`, `3 reps`."""
    return f"{number} {what}{'' if number == 1 else 's'}"
