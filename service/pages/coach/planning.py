"""The planner: what one scaling asks over its range, and the steps from what is owned to what is out of reach."""

from typing import Annotated, Any

from fastapi import Query, Request
from sqlalchemy.orm import Session as Records
from starlette.responses import Response

from models.errors import BadInput, PathError
from models.movements import load_movement, movement_names
from models.movements.movement import Movement
from models.path import Path
from models.prescription.write import write_prescription
from models.quantity import Measured
from service.access.decide import Resource
from service.api.deps import Session, fetch, require
from service.api.history import uncleared_pain
from service.api.routes.paths import tell_path
from service.api.routes.prescriptions import list_prescriptions
from service.api.said import athlete_of
from service.api.shapes.models import AvailableAsked, PathAsked
from service.demanding import Knob
from service.pages.coach.demands import KEYS, curve
from service.pages.page import page_router, render
from service.pages.text import heading, say
from service.pages.visitors import Coach, Visitor
from service.plans import dose, what
from service.records import Person
from service.words import number

planning = page_router()

Word = Annotated[str, Query(max_length=200)]


@planning.get("/athletes/{person_id}/plan")
def plan(
    person_id: str,
    request: Request,
    records: Session,
    visitor: Coach,
    movement: Word = "",
    variant: Word = "",
    by: Word = "",
) -> Response:
    """The planner of one athlete."""
    person = fetch(records, Person, person_id, visitor.actor, "read", "person")
    chosen = load_movement(movement if movement in movement_names() else _usual(records, visitor, person))
    knobs = knobs_of(chosen)
    return render(
        request,
        "coach/plan.html",
        visitor,
        person=person,
        pain=uncleared_pain(records, person),
        movements=[load_movement(name) for name in movement_names()],
        chosen=chosen,
        variant=variant if variant in chosen.variants else "",
        knobs=knobs,
        by=by if by in knobs else next(iter(knobs), ""),
    )


@planning.get("/athletes/{person_id}/plan/curve")
def show_curve(
    person_id: str, request: Request, records: Session, visitor: Coach, movement: Word, by: Knob, variant: Word = ""
) -> Response:
    """The curve: a part of the page that takes longer."""
    require(visitor.actor, "read", Resource("model", visitor.actor.gym_id))
    athlete = athlete_of(records, visitor.actor, person_id, None)
    try:
        found = curve(movement, variant or None, by, athlete)
    except BadInput as fault:
        return render(request, "coach/fault.html", visitor, reason=str(fault))
    return render(request, "coach/curve.html", visitor, curve=found)


@planning.get("/athletes/{person_id}/plan/steps")
def show_steps(
    person_id: str,
    request: Request,
    records: Session,
    visitor: Coach,
    goal: Word,
    owns: Word = "",
    bands: Word = "",
    boxes: Word = "",
    loads: Word = "",
) -> Response:
    """The steps from what is owned to a goal: a part of the page that takes longer."""
    try:
        there = AvailableAsked(bands_kg=_numbers(bands), boxes_cm=_numbers(boxes), loads_kg=_numbers(loads))
        asked = PathAsked(goal=goal, owns=owns.strip() or None, person=person_id, available=there)
        found = tell_path(asked, records, visitor.actor)
    except (BadInput, ValueError) as fault:
        return render(request, "coach/fault.html", visitor, reason=_reason(fault))
    return render(
        request, "coach/steps.html", visitor, path=found, steps=_steps(found), drawn=_drawn(found), heading=heading
    )


def knobs_of(movement: Movement) -> list[Knob]:
    """The scalings with a number that suit a movement."""
    scalings = movement.scalings
    fits: dict[Knob, bool] = {
        "body-angle": "body" in scalings.leverage,
        "hands-raised": "hands_raised" in scalings.leverage,
        "feet-raised": "feet_raised" in scalings.leverage,
        "band": "band" in scalings.assistance,
        "load": bool(scalings.load_at),
    }
    return [knob for knob in KEYS if fits[knob]]


def _usual(records: Records, visitor: Visitor, person: Person) -> str:
    """What the athlete does now."""
    active = list_prescriptions(records, visitor.actor, athlete=person.id, active=True, limit=1).items
    return active[0].movement if active and active[0].movement in movement_names() else "push-up"


def _steps(path: Path) -> list[dict[str, Any]]:
    return [
        {
            "step": step,
            "what": what(step.prescription),
            "dose": dose(step.prescription),
            "hands": number(step.hands),
            "share": number(step.share),
            "rise": "-" if step.rise is None else f"{step.rise:+.1f} %",
            "first": dose(step.first) if step.first else None,
            "text": write_prescription(step.prescription),
        }
        for step in path.steps
    ]


def _drawn(path: Path) -> dict[str, Any]:
    shares = [(step.n, step.share) for step in path.steps if isinstance(step.share, Measured)]
    return {
        "label": "share",
        "unit": "%",
        "names": [say("coach.plan.step_n", n=n) for n, _ in shares],
        "at": [n for n, _ in shares],
        "value": [share.value for _, share in shares],
        "u95": [share.U95 for _, share in shares],
    }


def _numbers(text: str) -> tuple[float, ...]:
    try:
        return tuple(float(each) for each in text.replace(";", ",").split(",") if each.strip())
    except ValueError:
        raise PathError(f"{text!r} is not a list of numbers; write it as 5, 10, 20") from None


def _reason(fault: Exception) -> str:
    if isinstance(fault, BadInput):
        return str(fault)
    return "bands, boxes and loads must be numbers above 0 and up to 300, and a goal is needed"
