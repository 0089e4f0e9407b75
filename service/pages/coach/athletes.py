"""The pages of athletes: all of them, and one with all that is known; and how far coaches and machine agree."""

from typing import Any

from fastapi import Request
from pydantic import BaseModel
from sqlalchemy import func, select
from sqlalchemy.orm import Session as Records
from starlette.responses import Response

from service.access.decide import Resource
from service.api.deps import Session, fetch, require
from service.api.etags import etag
from service.api.routes.consents import list_consents
from service.api.routes.links import list_links
from service.api.routes.pain import list_pain
from service.api.routes.prescriptions import get_prescription, list_prescriptions
from service.api.routes.review import tell_agreement
from service.api.said import athlete_of
from service.api.shapes.prescriptions import EXAMPLE
from service.pages.coach.clocks import Clock
from service.pages.coach.demands import Asking, over_time
from service.pages.coach.faults import check_name
from service.pages.coach.trends import trends
from service.pages.naming import called, title
from service.pages.page import page_router, render
from service.pages.text import heading, say
from service.pages.visitors import Coach, Visitor
from service.records import Clip, Effort, PainReport, Person, Ruling, now

athletes = page_router()

CLIPS = 20
RULINGS = 20


@athletes.get("/athletes")
def everybody(request: Request, records: Session, visitor: Coach) -> Response:
    """The athletes of the gym, by name."""
    require(visitor.actor, "read", Resource("person", visitor.actor.gym_id))
    gym = visitor.actor.gym_id
    people = records.scalars(
        select(Person)
        .where(Person.gym_id == gym, Person.role == "athlete", Person.ended.is_(None))
        .order_by(Person.name)
    )
    latest = select(Clip.athlete_id, func.max(Clip.arrived)).where(Clip.gym_id == gym).group_by(Clip.athlete_id)
    clips = dict(records.execute(latest).all())
    hurt = set(
        records.scalars(select(PainReport.athlete_id).where(PainReport.gym_id == gym, PainReport.cleared.is_(None)))
    )
    plans: dict[str, list[str]] = {}
    for each in list_prescriptions(records, visitor.actor, limit=200, active=True).items:
        plans.setdefault(each.athlete_id, []).append(each.version.variant)
    clock = Clock(records, visitor.actor)
    rows = [
        {
            "person": person,
            "plans": plans.get(person.id, []),
            "last": clock.time(clips[person.id]) if person.id in clips else None,
            "hurt": person.id in hurt,
        }
        for person in people
    ]
    return render(request, "coach/athletes.html", visitor, rows=rows)


@athletes.get("/athletes/{person_id}")
def one(person_id: str, request: Request, records: Session, visitor: Coach) -> Response:
    """One athlete: prescriptions, trends, rulings, pain, links, consents, clips."""
    actor = visitor.actor
    person = fetch(records, Person, person_id, actor, "read", "person")
    clock = Clock(records, actor)
    prescriptions = list_prescriptions(records, actor, athlete=person.id, limit=100).items
    links = [each for each in list_links(person.id, records, actor, limit=50).items if each.revoked is None]
    return render(
        request,
        "coach/athlete.html",
        visitor,
        person=person,
        clock=clock,
        called=called,
        heading=heading,
        active=[(each, _state(get_prescription(each.id, records, actor))) for each in prescriptions if each.active],
        ended=[each for each in prescriptions if not each.active],
        example=EXAMPLE,
        trends=trends(records, person.gym_id, person.id, clock),
        rulings=_rulings(records, visitor, person),
        pains=list_pain(records, actor, athlete=person.id, limit=50).items,
        links=[each for each in links if each.expires > now()],
        consents=list_consents(person.id, records, actor, limit=50).items,
        clips=_clips(records, person),
    )


@athletes.get("/athletes/{person_id}/demand")
def demand(person_id: str, request: Request, records: Session, visitor: Coach) -> Response:
    """What was prescribed asked of the body, over time: a part of the page that takes longer."""
    person = fetch(records, Person, person_id, visitor.actor, "read", "person")
    require(visitor.actor, "read", Resource("model", visitor.actor.gym_id))
    found = over_time(records, person.id, athlete_of(records, visitor.actor, person.id, None))
    panels = [
        (title(movement), of_it, _drawn(of_it))
        for movement in dict.fromkeys(each.movement for each in found)
        if (of_it := [each for each in found if each.movement == movement])
    ]
    clock = Clock(records, visitor.actor)
    return render(request, "coach/demand.html", visitor, panels=panels, clock=clock, heading=heading)


@athletes.get("/agreement")
def agreement(request: Request, records: Session, visitor: Coach) -> Response:
    """How far coaches and machine agree, check by check."""
    found = tell_agreement(records, visitor.actor).items
    return render(request, "coach/agreement.html", visitor, found=found, name=check_name, heading=heading)


def _drawn(found: list[Asking]) -> dict[str, Any] | None:
    """What a script draws of the demand; None: it has no number."""
    shown = [each for each in found if each.demand.effort.value is not None]
    if not shown:
        return None
    return {
        "label": say("coach.plan.of_full"),
        "unit": "%",
        "at": [each.done.timestamp() for each in shown],
        "value": [each.demand.effort.value for each in shown],
        "u95": [getattr(each.demand.effort, "U95", None) for each in shown],
    }


def _state(given: BaseModel) -> str:
    """The tag that a change must name, so that two coaches do not overwrite each other."""
    return etag(given.model_dump_json().encode())


def _rulings(records: Records, visitor: Visitor, person: Person) -> list[tuple[Ruling, Effort | None, Clip]]:
    require(visitor.actor, "read", Resource("ruling", person.gym_id, person.id))
    rows = records.execute(
        select(Ruling, Effort, Clip)
        .join(Clip, Clip.id == Ruling.clip_id)
        .outerjoin(Effort, Effort.id == Ruling.effort_id)
        .where(Clip.athlete_id == person.id)
        .order_by(Ruling.changed.desc())
        .limit(RULINGS)
    )
    return [(ruling, effort, clip) for ruling, effort, clip in rows]


def _clips(records: Records, person: Person) -> list[tuple[Clip, str]]:
    """The newest clips, each with what is seen in it."""
    done = func.coalesce(Clip.filmed, Clip.arrived)
    newest = select(Clip).where(Clip.athlete_id == person.id).order_by(done.desc(), Clip.id).limit(CLIPS)
    clips = list(records.scalars(newest))
    of_clips = Effort.clip_id.in_([each.id for each in clips]), Effort.current
    done_in = records.execute(select(Effort.clip_id, Effort.variant, Effort.movement).where(*of_clips).distinct())
    seen = {clip_id: called(variant, movement) for clip_id, variant, movement in done_in}
    return [(clip, seen.get(clip.id, "")) for clip in clips]
