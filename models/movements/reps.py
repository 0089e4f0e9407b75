"""How a rep is made: the angle that drives it, its strokes, its two ends, and what makes it a strict one."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from models.movements.entry import Angle, Band, Entry


class Phase(Entry):
    """A part of each stroke that is told apart: the time that the driving angle spends in a band, both ways."""

    title: Annotated[str, Field(min_length=1)]
    band: Band


class Strictness(Entry):
    """What tells a strict rep from a kipped one: common practice, no source. It never changes the count.

    In each stroke, `swing` is the most by which the hips may travel along the floor against the hands, in % of height;
    `hip_range` the most by which the hip angle may change, in degrees.
    """

    swing: Annotated[float, Field(gt=0, le=100)] | None = None
    hip_range: Annotated[float, Field(gt=0, le=180)] | None = None

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if self.swing is None and self.hip_range is None:
            raise ValueError("write swing, hip_range or both")
        return self


class Ends(Entry):
    """What people call the two ends of the range, as "full hang" and "chin over the bar"."""

    straight: Annotated[str, Field(min_length=1)]
    bent: Annotated[str, Field(min_length=1)]


class Reps(Entry):
    """How a rep is made.

    `driving` is the angle whose turning makes the rep; `lowering` says whether it grows or falls while the body goes
    down; `first` is the stroke that comes first in time. `straight` and `bent` are the driving angle, in degrees, at
    the two ends of the range that is asked for, `bent` always the larger one (for a lever lowered from above,
    `straight` is its upright end; for a muscle-up, driven by `reach`, it is the hang). With `lowering_only` the way
    back up is not a stroke. `phases` are parts of a stroke whose time is told.
    """

    driving: Angle
    lowering: Literal["grows", "falls"]
    first: Literal["lowering", "raising"]
    straight: float
    bent: float
    ends: Ends | None = None
    lowering_only: bool = False
    strict: Strictness | None = None
    phases: dict[str, Phase] = Field(default_factory=dict)

    @property
    def range(self) -> float:
        """Degrees of the driving angle between the two ends."""
        return self.bent - self.straight

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.straight >= self.bent:
            raise ValueError(f"straight {self.straight:g} is not below bent {self.bent:g}")
        return self

    @model_validator(mode="after")
    def _phases_inside(self) -> Self:
        for name, phase in self.phases.items():
            if phase.band.low < self.straight or phase.band.high > self.bent:
                raise ValueError(f"phases.{name}: its band leaves the range {self.straight:g} to {self.bent:g}")
        return self
