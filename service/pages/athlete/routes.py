"""The athlete's pages."""

from typing import Annotated

from fastapi import Query, Request
from sqlalchemy import select
from sqlalchemy.orm import Session as Records
from starlette.responses import Response

from models.document import Document
from models.prescription import Prescription as Plan
from models.prescription import parse_prescription
from service.access.actors import Actor
from service.access.decide import Resource
from service.access.within import within
from service.api.deps import Parts, Session, fetch, require
from service.pages.athlete.decided import decided
from service.pages.athlete.filming import hints_for
from service.pages.athlete.result import Result, read_result, spoken
from service.pages.athlete.today import clip_name, day_and_time, gym_zone, hurts, prescribed, sent
from service.pages.page import page_router, render
from service.pages.text import say
from service.pages.visitors import Athlete
from service.records import Clip, Effort, Measurement, Note, PrescriptionVersion, Ruling

athlete = page_router()


@athlete.get("/me")
def today(request: Request, records: Session, visitor: Athlete) -> Response:
    """What is to be done today, and the clips that were sent."""
    actor = visitor.actor
    return render(
        request,
        "athlete/today.html",
        visitor,
        prescribed=prescribed(records, actor),
        sent=sent(records, actor),
        hurts=hurts(records, actor),
    )


@athlete.get("/me/film")
def film(
    request: Request, records: Session, visitor: Athlete, parts: Parts, plan: Annotated[str, Query(max_length=40)] = ""
) -> Response:
    """The camera, for one prescription or for anything."""
    mine = prescribed(records, visitor.actor)
    chosen = next((each for each in mine if each.id == plan), None)
    return render(
        request,
        "athlete/film.html",
        visitor,
        chosen=chosen,
        hints=hints_for(chosen.plan if chosen else None),
        seconds=min(chosen.pace.film_seconds if chosen else 60, int(parts.settings.clip_max_seconds)),
    )


@athlete.get("/me/clips/{clip_id}")
def clip(clip_id: str, request: Request, records: Session, visitor: Athlete) -> Response:
    """How far a clip is, or what came of it."""
    row = fetch(records, Clip, clip_id, visitor.actor, "read", "clip")
    version = row.prescription_version_id and records.get(PrescriptionVersion, row.prescription_version_id)
    variant, shown = version.variant if version else None, None
    if row.state == "measured":
        require(visitor.actor, "read", Resource("result", row.gym_id, row.athlete_id, row.id))
        shown = _result(records, row)
    zone = gym_zone(records, visitor.actor)
    return render(
        request,
        "athlete/clip.html",
        visitor,
        clip=row,
        name=clip_name(variant, row.movement),
        variant=variant,
        when=day_and_time(row.filmed or row.arrived, zone),
        plan_id=version.prescription_id if version else "",
        result=shown,
        share=spoken(shown) if shown else "",
        notes=_notes(records, visitor.actor, row),
        hurts=hurts(records, visitor.actor),
    )


def _result(records: Records, row: Clip) -> Result | None:
    found = records.scalar(select(Measurement).where(Measurement.clip_id == row.id, Measurement.current))
    if found is None:
        return None
    version = found.prescription_version_id and records.get(PrescriptionVersion, found.prescription_version_id)
    plan: Plan | None = parse_prescription(version.text.encode(), "the prescription") if version else None
    return read_result(Document.model_validate_json(found.document), plan, decided(records, row.id))


def _notes(records: Records, actor: Actor, row: Clip) -> list[str]:
    """What the coach wrote to this clip, in notes and along with rulings, the oldest first."""
    mine = within(actor, "read", "note", Note.gym_id, Note.athlete_id)
    place = select(Note.made, Note.text, Effort.kind, Effort.n).outerjoin(Effort, Effort.id == Note.effort_id)
    notes = list(records.execute(place.where(mine, Note.clip_id == row.id)))
    about = select(Ruling.made, Ruling.note, Effort.kind, Effort.n).outerjoin(Effort, Effort.id == Ruling.effort_id)
    counts = Ruling.effort_id.is_(None) | (Ruling.ruling == Effort.ruling)
    rulings = list(records.execute(about.where(Ruling.clip_id == row.id, Ruling.note.is_not(None), counts)))
    return [
        say(f"athlete.result.note_{kind}", n=n, text=text or "") if kind else text or ""
        for _, text, kind, n in sorted([*notes, *rulings], key=lambda each: each[0])
    ]
