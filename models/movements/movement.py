"""What a movement is: its body line, the joint that drives it, its strokes, its hold, and what a view cannot show."""

import tomllib
from functools import cache
from importlib.resources import files
from typing import Annotated, Literal

from pydantic import Field, ValidationError

from models.errors import MovementError
from models.quantity import Frozen

Angle = Literal["body", "lean", "trunk", "legs", "shoulder", "elbow", "hip", "knee"]
Line = Literal["ankles-shoulders", "knees-shoulders", "hips-shoulders"]
View = Literal["side", "front", "back"]


class Band(Frozen):
    """An interval of degrees, both ends included."""

    low: float
    high: float


class Reps(Frozen):
    """How a rep is made.

    `driving` is the joint whose turning makes the rep; `lowering` says whether that angle grows or falls while the
    body goes down; `first` is the stroke that comes first in time. `straight` and `bent` are the driving angle at the
    two ends of the range that the movement asks for.
    """

    driving: Angle
    lowering: Literal["grows", "falls"]
    first: Literal["lowering", "raising"]
    straight: float
    bent: float

    @property
    def range(self) -> float:
        """Degrees of the driving angle between the two ends."""
        return abs(self.bent - self.straight)


class StillHold(Frozen):
    """How a hold is recognised: which angles must stay still, and the band each must lie in to be this hold at all."""

    still: tuple[Angle, ...]
    posture: dict[Angle, Band]


class InPosition(Frozen):
    """Where the athlete is while the movement is done; what lies outside is setting up or stepping off.

    `contact` names the limbs that bear the load and stay where they are; `hands` where the hands are, seen against
    the shoulders; `trunk` the trunk's angle to the floor (positive: shoulders higher than hips).
    """

    contact: Literal["hands", "feet", "both"]
    hands: Literal["above", "below", "any"]
    trunk: Band


class Movement(Frozen):
    """One movement of the catalogue."""

    name: str
    title: str
    line: Line
    tilt: Literal["body", "lean"]
    usual: Literal["reps", "hold"]
    reps: Reps | None = None
    hold: StillHold | None = None
    position: InPosition
    views: Annotated[tuple[View, ...], Field(min_length=1)]
    not_measured: tuple[str, ...]
    faults: tuple[str, ...]
    cautions: tuple[str, ...]


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
        raise MovementError(f"unknown movement {name!r}; known: {', '.join(movement_names())}")
    text = files("models.movements").joinpath(f"{name}.toml").read_text(encoding="utf-8")
    try:
        return Movement.model_validate({"name": name, **tomllib.loads(text)})
    except (tomllib.TOMLDecodeError, ValidationError) as fault:
        raise MovementError(f"the catalogue's file for {name!r} is faulty: {fault}") from fault
