"""What a prescription asks of one value: at least, at most, or between."""

from typing import Self

from pydantic import ConfigDict, model_validator

from models.quantity import Frozen


class Strict(Frozen):
    """Part of what a coach writes: nothing unknown is passed over, nothing is read as something else."""

    model_config = ConfigDict(extra="forbid", strict=True)


class Limit(Strict):
    """One limit or two, both ends included, in the unit of the value that it is for."""

    low: float | None = None
    high: float | None = None

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low is None and self.high is None:
            raise ValueError("no limit is given; write low, high or both")
        if self.low is not None and self.high is not None and self.low >= self.high:
            raise ValueError(f"low {self.low:g} is not below high {self.high:g}; a band needs room between its ends")
        return self

    def admits(self, value: float) -> bool:
        """Whether an exactly known value respects the limit."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)

    def __str__(self) -> str:
        if self.low is None:
            return f"at most {self.high:g}"
        if self.high is None:
            return f"at least {self.low:g}"
        return f"{self.low:g} to {self.high:g}"
