"""A measured value with its unit and uncertainty, or no value and the reason why."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Unit = Literal[
    "deg", "deg/s", "s", "m", "mm", "mm/s", "mm2", "% of height", "% of height/s", "% of height2", "%", "%/s", "m/px",
    "reps", "holds", "kg", "N", "Nm", "% of body weight", "% of body weight x height",
]  # fmt: skip


class Frozen(BaseModel):
    """Base of every type here: immutable, and tolerant of fields from a later version."""

    model_config = ConfigDict(frozen=True, extra="ignore", allow_inf_nan=False)


class Measured(Frozen):
    """A value with its unit and its expanded uncertainty for a coverage of 95 % (JCGM 100, k = 1.96)."""

    value: float
    U95: Annotated[float, Field(ge=0)]
    unit: Unit

    @property
    def u(self) -> float:
        """Standard uncertainty, in the unit of the value."""
        return self.U95 / 1.96


class Unmeasured(Frozen):
    """No value, and the reason why, in words that a coach can act on."""

    value: None = None
    reason: Annotated[str, Field(min_length=1)]


Q = Measured | Unmeasured
