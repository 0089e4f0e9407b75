"""The pages of review: the queue, and one set after the other."""

from typing import Annotated, Any

from fastapi import Path, Query, Request
from fastapi.responses import RedirectResponse
from sqlalchemy import select
from starlette.responses import Response

from models.prescription import parse_prescription
from service.access.decide import Resource
from service.api.deps import Session, fetch, require
from service.api.problems import Problem
from service.api.routes.notes import list_notes
from service.api.routes.results import get_effort, get_set, list_sets
from service.api.shapes.results import JudgedEffort, SetTold
from service.pages.coach.clocks import Clock
from service.pages.coach.effort import check_line, tempo
from service.pages.coach.evidence import drawn, measured_as
from service.pages.coach.faults import fault, groups
from service.pages.coach.queue import set_after, waiting
from service.pages.naming import called
from service.pages.page import page_router, render
from service.pages.visitors import Coach, Visitor
from service.plans import dose, what
from service.records import Clip, Measurement, Person, PrescriptionVersion, SetRow
from service.records.review import RulingWord

reviewing = page_router()

KEYS: dict[RulingWord, str] = {"met": "m", "missed": "x", "not a rep": "n", "missing rep": "r", "film again": "f"}
"""The key for each ruling."""
Number = Annotated[int, Path(ge=1, lt=2**63)]


@reviewing.get("/review")
def queue(
    request: Request, records: Session, visitor: Coach, after: Annotated[str | None, Query(max_length=300)] = None
) -> Response:
    """What needs a person."""
    require(visitor.actor, "rule", Resource("ruling", visitor.actor.gym_id))
    return render(request, "coach/queue.html", visitor, found=waiting(records, visitor.actor, after))


@reviewing.get("/review/{place}")
def one(
    place: Annotated[str, Path(max_length=40)],
    request: Request,
    records: Session,
    visitor: Coach,
    effort: Annotated[int | None, Query(ge=1, lt=2**63)] = None,
) -> Response:
    """A set, by its number; or a clip: its first set, or why it has none."""
    require(visitor.actor, "rule", Resource("ruling", visitor.actor.gym_id))
    if not place.isdecimal():
        return _clip(request, records, visitor, place)
    if int(place) >= 2**63:
        raise Problem(404)
    told = get_set(int(place), records, visitor.actor)
    if not told.efforts:
        raise Problem(404)
    chosen = next((each for each in told.efforts if each.id == effort), None)
    chosen = chosen or next((each for each in told.efforts if to_rule(each)), told.efforts[0])
    clip, athlete = records.get_one(Clip, told.clip_id), records.get_one(Person, told.athlete_id)
    return render(
        request,
        "coach/set.html",
        visitor,
        clip=clip,
        athlete=athlete,
        variant=called(chosen.variant, chosen.movement),
        prescribed=_prescribed(records, told),
        when=Clock(records, visitor.actor).time(chosen.done),
        sets=list_sets(clip.id, records, visitor.actor).items,
        next_set=set_after(records, visitor.actor, told.id),
        **_effort(records, visitor, told, chosen.id),
    )


@reviewing.get("/review/{set_id}/efforts/{effort_id}")
def effort(set_id: Number, effort_id: Number, request: Request, records: Session, visitor: Coach) -> Response:
    """The part of the page that changes from rep to rep."""
    require(visitor.actor, "rule", Resource("ruling", visitor.actor.gym_id))
    told = get_set(set_id, records, visitor.actor)
    if all(each.id != effort_id for each in told.efforts):
        raise Problem(404)
    return render(request, "coach/effort_swap.html", visitor, **_effort(records, visitor, told, effort_id))


def to_rule(effort: JudgedEffort) -> bool:
    """Whether an effort waits for a coach."""
    return effort.ruling is None and (effort.blind or effort.verdict in ("missed", "unsure"))


def _effort(records: Session, visitor: Visitor, told: SetTold, effort_id: int) -> dict[str, Any]:
    """All that is shown of one rep or hold, and of those around it."""
    chosen = get_effort(effort_id, records, visitor.actor)
    found = measured_as(records, chosen)
    notes = list_notes(records, visitor.actor, clip=chosen.clip_id, limit=100).items
    mates = [each for each in told.efforts if not chosen.blind and fault(each) == fault(chosen)]
    return {
        "set": told,
        "efforts": [(each, fault(each), to_rule(each)) for each in told.efforts],
        "groups": groups(each for each in told.efforts if to_rule(each)),
        "effort": chosen,
        "fault": fault(chosen),
        "mates": len(mates),
        "checks": [check_line(check) for check in chosen.checks],
        "tempo": tempo(chosen, found),
        "drawn": drawn(chosen, found).model_dump(),
        "notes": [note for note in notes if note.effort_id in (None, chosen.id)],
        "keys": KEYS,
        "clock": Clock(records, visitor.actor),
    }


def _prescribed(records: Session, told: SetTold) -> str | None:
    """`push-up, 3 x 5, 3-0-1-0`."""
    text = records.scalar(
        select(PrescriptionVersion.text)
        .join(Measurement, Measurement.prescription_version_id == PrescriptionVersion.id)
        .join(SetRow, SetRow.measurement_id == Measurement.id)
        .where(SetRow.id == told.id)
    )
    if text is None:
        return None
    plan = parse_prescription(text.encode(), "the prescription")
    return f"{what(plan)}, {dose(plan)}"


def _clip(request: Request, records: Session, visitor: Visitor, clip_id: str) -> Response:
    clip = fetch(records, Clip, clip_id, visitor.actor, "read", "clip")
    sets = [each for each in list_sets(clip.id, records, visitor.actor).items if each.efforts]
    if sets:
        return RedirectResponse(f"/review/{sets[0].id}", 303, headers={"Cache-Control": "no-store"})
    athlete, when = (
        records.get_one(Person, clip.athlete_id),
        Clock(records, visitor.actor).time(clip.filmed or clip.arrived),
    )
    return render(request, "coach/clip.html", visitor, clip=clip, athlete=athlete, when=when)
