"""What a movement is: its body line, the joint that drives it, its strokes, its hold, and what a view cannot show."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Annotated, Literal, Self

from pydantic import Field, ValidationError, model_validator

from models.errors import MovementError
from models.movements.applicable import Applicable
from models.movements.demand import DemandChange, DemandEntry
from models.movements.entry import Entry
from models.movements.standard import Standards
from models.suggest import did_you_mean

Angle = Literal["body", "lean", "trunk", "legs", "shoulder", "elbow", "hip", "knee"]
Line = Literal["ankles-shoulders", "knees-shoulders", "hips-shoulders"]
View = Literal["side", "front", "back"]


class Band(Entry):
    """An interval of degrees, both ends included."""

    low: float
    high: float

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.low >= self.high:
            raise ValueError(f"low {self.low:g} is not below high {self.high:g}")
        return self


class Reps(Entry):
    """How a rep is made.

    `driving` is the angle whose turning makes the rep; `lowering` says whether it grows or falls while the body goes
    down; `first` is the stroke that comes first in time. `straight` and `bent` are the driving angle, in degrees, at
    the two ends of the range that is asked for, `bent` always the larger one (for a lever lowered from above,
    `straight` is its upright end). With `lowering_only` the way back up is not a stroke.
    """

    driving: Angle
    lowering: Literal["grows", "falls"]
    first: Literal["lowering", "raising"]
    straight: float
    bent: float
    lowering_only: bool = False

    @property
    def range(self) -> float:
        """Degrees of the driving angle between the two ends."""
        return self.bent - self.straight

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.straight >= self.bent:
            raise ValueError(f"straight {self.straight:g} is not below bent {self.bent:g}")
        return self


class StillHold(Entry):
    """How a hold is recognised: which angles must stay still, and the band each must lie in to be this hold at all.

    The bands are wide on purpose. They tell the hold from standing, hanging or setting up, not a good one from a bad
    one: that is for the limits of a prescription.
    """

    still: Annotated[tuple[Angle, ...], Field(min_length=1)]
    posture: dict[Angle, Band]


class InPosition(Entry):
    """Where the athlete is while the movement is done; what lies outside is setting up or stepping off.

    `contact` names the limbs that bear the load and stay where they are; `hands` where the hands are, seen against
    the shoulders; `trunk` the trunk's angle to the floor (positive: shoulders higher than hips).
    """

    contact: Literal["hands", "feet", "both"]
    hands: Literal["above", "below", "any"]
    trunk: Band


class Variant(Entry):
    """What a variant changes in the measuring: its body line, and bands that recognise its hold."""

    title: str
    line: Line | None = None
    posture: dict[Angle, Band] = Field(default_factory=dict)
    demand: DemandChange | None = None


class Movement(Entry):
    """One movement of the catalogue. Every movement can be held, if only at a point of its range."""

    name: str
    title: str
    line: Line
    tilt: Literal["body", "lean"]
    usual: Literal["reps", "hold"]
    reps: Reps | None = None
    hold: StillHold
    position: InPosition
    standards: Standards = ()
    demand: DemandEntry | None = None
    scalings: Applicable = Applicable()
    views: Annotated[tuple[View, ...], Field(min_length=1)]
    not_measured: tuple[str, ...]
    faults: tuple[str, ...]
    cautions: tuple[str, ...]
    variants: dict[str, Variant] = Field(default_factory=dict)

    def as_variant(self, name: str | None) -> "Movement":
        """This movement, measured as one of its variants is; None leaves it as it is.

        Raises:
            MovementError: the movement has no such variant.
        """
        if name is None:
            return self
        if name not in self.variants:
            known = ", ".join(self.variants) or "none"
            hint = did_you_mean(name, self.variants)
            raise MovementError(f"{self.name} has no variant {name!r}{hint} (known: {known})")
        variant = self.variants[name]
        hold = self.hold.model_copy(update={"posture": {**self.hold.posture, **variant.posture}})
        demand = self.demand.changed(variant.demand) if self.demand else None
        return self.model_copy(update={"line": variant.line or self.line, "hold": hold, "demand": demand})

    @model_validator(mode="after")
    def _demands_make_sense(self) -> Self:
        for name, variant in self.variants.items():
            if variant.demand is not None and self.demand is None:
                raise ValueError(f"variants.{name}.demand changes a demand that the movement does not have")
            if self.demand is not None:
                self.demand.changed(variant.demand)
        return self


def movement_names() -> tuple[str, ...]:
    """Names of all movements of the catalogue, sorted."""
    folder = files("models.movements")
    return tuple(sorted(entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml")))


@cache
def load_movement(name: str) -> Movement:
    """Read one movement.

    Raises:
        MovementError: no such movement, or its file is faulty.
    """
    if name not in movement_names():
        hint = did_you_mean(name, movement_names())
        raise MovementError(f"unknown movement {name!r}{hint} (known: {', '.join(movement_names())})")
    text = files("models.movements").joinpath(f"{name}.toml").read_text(encoding="utf-8")
    try:
        return Movement.model_validate({"name": name, **tomllib.loads(text)})
    except (tomllib.TOMLDecodeError, ValidationError) as fault:
        reason = " ".join(str(fault).split())
        raise MovementError(f"the catalogue's file for {name!r} is faulty: {reason}") from fault
