"""The pace of a prescription: the beats that a voice counts, and the line that moves to them.

The line is a sketch of the movement's body line beside the floor, not to scale: it shows which way and when, not how far.
"""

import math
from dataclasses import asdict, dataclass
from typing import Any, Final, Literal

from models.movements import Movement
from models.prescription import Prescription
from service.pages.athlete.plain import parts_in_time

FAST: Final = 1.0
"""Seconds that the line takes over what is to be done as fast as possible."""
BACK: Final = 3.0
"""Seconds in which it comes back where only the lowering is done."""
A_REP: Final = 4.0
"""Seconds allowed for a rep whose tempo nobody wrote."""
MARGIN: Final = 1.3
"""By how much a set may take longer than written before the camera stops by itself."""
AROUND: Final = 20.0
"""Seconds to get into position and out of it."""
LONGEST: Final = 300.0

GROUND: Final = 52.0
LENGTH: Final = 56.0
SHALLOW, STEEP, TURN = 5.0, 24.0, 16.0
"""Degrees of a sketched body line, low and high, and by how much a rep turns it where one angle is written."""


@dataclass(frozen=True)
class Beat:
    """One part of a rep, or a hold."""

    part: str
    seconds: float
    fast: bool = False


@dataclass(frozen=True)
class Sketch:
    """The line at the top and at the bottom, on a sheet of 100 by 60: the end that it turns about, and its direction from there.

    Degrees count from the right upwards.
    """

    end: Literal["feet", "shoulders"]
    x: float
    top_y: float
    bottom_y: float
    length: float
    top: float
    bottom: float


@dataclass(frozen=True)
class Pace:
    """Everything that moves and counts."""

    beats: tuple[Beat, ...]
    times: int
    """How many reps; 1 for a hold."""
    starts: str
    """Where the line begins: `top` or `bottom`."""
    sketch: Sketch
    film_seconds: int
    """After how long the camera stops by itself."""

    def as_json(self) -> dict[str, Any]:
        """As the page's script reads it."""
        return asdict(self)


def pace_of(plan: Prescription) -> Pace:
    """The pace that a prescription asks for."""
    movement = plan.as_movement()
    beats = tuple(_beats(plan))
    starts = "bottom" if movement.reps is not None and movement.reps.first == "raising" else "top"
    times = 1 if plan.hold is not None else plan.reps or 1
    one = sum(beat.seconds for beat in beats) or A_REP
    seconds = min(LONGEST, MARGIN * times * one + AROUND)
    return Pace(beats, times, starts, sketch(plan, movement), math.ceil(seconds))


def _beats(plan: Prescription) -> list[Beat]:
    if plan.hold is not None:
        return [Beat("hold", plan.hold)]
    beats = [
        Beat(part, FAST, fast=True) if isinstance(digit, str) else Beat(part, digit)
        for part, digit in parts_in_time(plan)
    ]
    beats = [beat for beat in beats if beat.seconds > 0]
    return [*beats, Beat("back", BACK)] if plan.lowering_only and beats else beats


def sketch(plan: Prescription, movement: Movement) -> Sketch:
    """The line of a movement: turning below the hands, upright, inverted, level over the hands, or leaning on its far end."""
    position = movement.position
    if movement.tilt == "lean":
        if position.contact == "hands" and position.trunk.high <= 0:
            return Sketch("shoulders", x=50, top_y=38, bottom_y=GROUND - 6, length=32, top=90, bottom=90)
        return Sketch("feet", x=50, top_y=38, bottom_y=GROUND - 2, length=26, top=90, bottom=90)
    if position.contact == "hands" and position.hands != "below":
        turned = [180 + angle for angle in _lever_angles(plan, movement)]
        y = 30 if plan.hold is not None else 44
        return Sketch("shoulders", x=72, top_y=y, bottom_y=y, length=36, top=turned[1], bottom=turned[0])
    if position.contact == "hands":
        return Sketch("feet", x=22, top_y=34, bottom_y=34, length=LENGTH, top=0, bottom=0)
    foot = GROUND - 2 - (14 if plan.feet_raised_cm else 0)
    low, high = _angles(plan, movement)
    return Sketch("feet", x=20, top_y=foot, bottom_y=foot, length=LENGTH, top=high, bottom=low)


def _lever_angles(plan: Prescription, movement: Movement) -> tuple[float, float]:
    """Body angles of a lever at the bottom and at the top, where the feet are above the shoulders."""
    if plan.hold is not None or movement.reps is None:
        held = plan.hold_at or 0.0
        return held, held
    return movement.reps.bent, movement.reps.straight


def _angles(plan: Prescription, movement: Movement) -> tuple[float, float]:
    """At the bottom and at the top; the written angle is that on straight arms."""
    written = plan.body_angle
    if plan.hold is not None:
        held = SHALLOW if written is None else written
        return held, held
    if written is None:
        return SHALLOW, STEEP
    straight_is_top = movement.reps is None or movement.reps.lowering == "grows"
    return (written - TURN, written) if straight_is_top else (written, written + TURN)
