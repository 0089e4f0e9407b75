"""A prescription in plain words, as the athlete reads it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

from models.checks import title as check_title
from models.limit import Limit
from models.limits import HOLD_PARTS, REP_PARTS, unit
from models.movements import Movement, load_movement
from models.prescription import Prescription
from models.tempo import PLACES, Digit
from service.pages.text import heading, say
from service.plans import what

End = Literal["top", "bottom"]
ZEROS: Final = {"body", "lean", "trunk", "legs", "elbow", "shoulder", "hip", "knee"}
"""Angles whose zero is told along with their limits."""


@dataclass(frozen=True)
class Task:
    """What one prescription asks for."""

    title: str
    what: str
    """The variant in a few words, as it is called in lists."""
    dose: str
    tempo: str
    """In trade notation; empty where none is written."""
    how: tuple[str, ...]
    """Its scalings."""
    steps: tuple[str, ...]
    """One rep or hold, in the order of time."""
    asked: tuple[str, ...]
    """Everything else that is checked."""
    note: str | None
    cautions: tuple[str, ...]


def in_plain_words(plan: Prescription) -> Task:
    """All that the athlete needs to know of a prescription."""
    movement = load_movement(plan.movement)
    return Task(
        title=movement.title,
        what=heading(what(plan)),
        dose=_dose(plan),
        tempo=str(plan.tempo or ""),
        how=tuple(_how(plan, movement)),
        steps=tuple(_steps(plan, movement)),
        asked=tuple(_asked(name, limit) for name, limit in _beyond_tempo(plan).items()),
        note=plan.note,
        cautions=movement.cautions,
    )


def parts_in_time(plan: Prescription) -> list[tuple[str, Digit]]:
    """The parts of a rep with what the tempo says of each, in the order in which they come."""
    movement = plan.as_movement()
    if plan.tempo is None or movement.reps is None:
        return []
    lowering, bottom, raising, top = PLACES
    order = PLACES if movement.reps.first == "lowering" else (raising, top, lowering, bottom)
    asked = plan.tempo.asked()
    kept = (lowering,) if plan.lowering_only else order
    return [(part, asked[part]) for part in kept if part in asked]


def end_name(movement: Movement, end: End) -> str:
    """What people call one end of the range: `chest low`; empty where the catalogue has no word for it."""
    reps = movement.reps
    if reps is None or reps.ends is None:
        return ""
    return reps.ends.bent if (end == "bottom") == (reps.lowering == "grows") else reps.ends.straight


def _asked(name: str, limit: Limit) -> str:
    """A limit with what its zero means: `Elbow at the bent end: at least 70° (0° is straight)`."""
    of = name.rpartition(".")[2]
    zero = say(f"athlete.zero.{of}") if of in ZEROS and unit(name) == "deg" else ""
    return f"{check_title(name)}: {with_unit(limit, name)}{zero}"


def with_unit(limit: Limit, name: str) -> str:
    """`at least 70°`."""
    of = unit(name)
    return f"{limit}°" if of == "deg" else f"{limit} {of}"


def _dose(plan: Prescription) -> str:
    sets = say("athlete.dose.sets", n=plan.sets)
    if plan.hold is not None:
        return say("athlete.dose.hold", sets=sets, seconds=f"{plan.hold:g}")
    return say("athlete.dose.reps", n=plan.reps or 1, sets=sets)


def _how(plan: Prescription, movement: Movement) -> Iterator[str]:
    if plan.variant:
        yield movement.variants[plan.variant].title
    yield from _posture(plan, movement)
    yield from _help(plan)
    if plan.lowering_only:
        yield say("athlete.how.lowering_only")
    if plan.stability:
        yield say("athlete.how.stability", on=plan.stability.replace("-", " "))


def _posture(plan: Prescription, movement: Movement) -> Iterator[str]:
    if plan.body_angle is not None:
        yield say("athlete.how.body_angle", degrees=f"{plan.body_angle:g}")
    for limb, height in (("hands", plan.hands_raised_cm), ("feet", plan.feet_raised_cm)):
        if height is not None:
            yield say(f"athlete.how.{limb}_raised", cm=f"{height:g}")
    if plan.hold_at is not None and movement.reps is not None:
        yield say("athlete.how.hold_at", degrees=f"{plan.hold_at:g}", joint=movement.reps.driving)


def _help(plan: Prescription) -> Iterator[str]:
    if plan.band and plan.band.kg is not None:
        yield say("athlete.how.band", kg=f"{plan.band.kg:g}")
    elif plan.band:
        yield say("athlete.how.band_measured")
    if plan.partner:
        yield say("athlete.how.partner")
    if plan.load:
        yield say("athlete.how.load", kg=f"{plan.load.kg:g}")


def _steps(plan: Prescription, movement: Movement) -> Iterator[str]:
    if plan.hold is not None:
        yield say("athlete.step.hold", seconds=f"{plan.hold:g}")
    for part, digit in parts_in_time(plan):
        yield _step(part, digit, movement)
    if plan.lowering_only:
        yield say("athlete.step.back")


def _step(part: str, digit: Digit, movement: Movement) -> str:
    if part.endswith("pause"):
        end: End = "top" if part == "top_pause" else "bottom"
        name = end_name(movement, end)
        where = say(f"athlete.step.{end}", name=name) if name else say(f"athlete.step.{end}_plain")
        if digit == "X" or not digit:
            return say("athlete.step.no_pause", where=where)
        return say("athlete.step.pause", seconds=f"{digit:g}", where=where)
    if digit == "X":
        return say(f"athlete.step.{part}_fast")
    return say(f"athlete.step.{part}", seconds=f"{digit:g}")


def _beyond_tempo(plan: Prescription) -> dict[str, Limit]:
    """The limits that the steps do not tell already."""
    limits, parts = (plan.rep_limits(), REP_PARTS) if plan.hold is None else (plan.hold_limits(), HOLD_PARTS)
    written = plan.limits.by_name(parts)
    told = {*PLACES, "in_position"} - written.keys()
    return {name: limit for name, limit in limits.items() if name not in told}
