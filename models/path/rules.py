"""The rules by which a path is laid and walked: all of them common practice without a source, all of them editable."""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Final

from pydantic import Field

from models.body.bearing import Bearing
from models.errors import PathError
from models.limit import Strict
from models.prescription.dose import Dose
from models.tempo import Tempo
from models.written import parse_written, read_bytes

Percent = Annotated[float, Field(gt=0, le=100)]
Names = Annotated[tuple[str, ...], Field(strict=False)]

VIA: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "back-lever": ("l-sit",),
        "chin-up": ("row",),
        "dip": ("push-up",),
        "front-lever": ("row",),
        "handstand": ("plank", "pike-push-up"),
        "handstand-push-up": ("push-up", "pike-push-up"),
        "muscle-up": ("row", "pull-up"),
        "planche": ("plank", "push-up"),
        "pull-up": ("row", "chin-up"),
        "single-leg-squat": ("squat",),
    }
)
"""Movements on the way to another, the easiest first."""


class StepRules(Strict):
    """How large a step may be. Percent are of the present demand."""

    largest: Percent = 10.0
    """A step that rises by more is flagged, and filled."""
    least: Percent = 4.0
    """A rise below this is passed over: neither a body nor the model can tell it."""
    body_angle: Annotated[float, Field(gt=0, le=45)] = 5.0
    """Degrees between the body angles that are offered."""
    height_cm: Annotated[float, Field(gt=0, le=100)] = 10.0
    """Centimetres between the heights that are offered where no boxes are named."""
    highest_cm: Annotated[float, Field(gt=0, le=300)] = 80.0
    """Greatest height that is offered where no boxes are named."""


class OnRule(Strict):
    """When to move on: so many sessions one after the other in which so many of the sets met their dose."""

    sessions: Annotated[int, Field(ge=1, le=20)] = 2
    sets: Percent = 100.0


class BackRule(Strict):
    """When to step back: so many sessions one after the other in which fewer than so many of the sets met their dose."""

    sessions: Annotated[int, Field(ge=1, le=20)] = 2
    sets: Percent = 50.0


class StartDoses(Strict):
    """The dose that a step starts at, by what is done."""

    reps: Dose = Dose(sets=3, reps=5, tempo=Tempo.parse("3-0-1-0"))
    lowering_only: Dose = Dose(sets=3, reps=3, tempo=Tempo.parse("5"), lowering_only=True)
    hold: Dose = Dose(sets=4, hold=10)
    flagged: Percent = 50.0
    """Share of that dose to start a flagged step at: of its reps, or of its seconds."""


class Rules(Strict):
    """All rules of a path."""

    step: StepRules = StepRules()
    move_on: OnRule = OnRule()
    step_back: BackRule = BackRule()
    start: StartDoses = StartDoses()
    bearing: Bearing = Bearing()
    via: dict[str, Names] = Field(default_factory=lambda: dict(VIA))


def read_rules(path: Path) -> Rules:
    """Read rules from a TOML file; what it does not write stays as it is here.

    Raises:
        PathError: it cannot be read, is not TOML, or something in it is wrong.
    """
    return parse_rules(read_bytes(path, PathError), path.name)


def parse_rules(data: bytes, name: str) -> Rules:
    """As `read_rules`, from a file's bytes; `name` is what messages call it.

    Raises:
        PathError: it is not TOML, or something in it is wrong.
    """
    return parse_written(data, name, Rules, PathError, "a file of rules")
