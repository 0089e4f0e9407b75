"""Reports of pain. Until a person clears one, no step up is offered."""

from typing import Annotated

from fastapi import Query, Response
from sqlalchemy import select

from service.access.audit import audit
from service.access.decide import Resource
from service.access.within import within
from service.api.deps import Actor, Session, fetch, require, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.people import NewPain, PainGiven
from service.records import Clip, PainReport, Person, now

pain = router("people")


@pain.get("/pain")
def list_pain(
    session: Session,
    actor: Actor,
    after: After = None,
    limit: Limit = 50,
    athlete: Annotated[str | None, Query(max_length=40, description="Only this athlete's.")] = None,
    cleared: Annotated[bool | None, Query(description="Only those that are, or are not, cleared.")] = None,
) -> Page[PainGiven]:
    """Reports of pain, the newest first; an athlete's own."""
    query = select(PainReport).where(within(actor, "read", "pain", PainReport.gym_id, PainReport.athlete_id))
    if athlete is not None:
        query = query.where(PainReport.athlete_id == athlete)
    if cleared is not None:
        query = query.where(PainReport.cleared.is_not(None) if cleared else PainReport.cleared.is_(None))
    by = (PainReport.made, PainReport.id)
    return page(session, query, by, after, limit, PainGiven.model_validate, newest_first=True)


@pain.post("/people/{person_id}/pain", status_code=201)
def report_pain(person_id: str, asked: NewPain, session: Session, actor: Actor, response: Response) -> PainGiven:
    """Report that something hurt."""
    person = fetch(session, Person, person_id, actor, "read", "person")
    require(actor, "write", Resource("pain", person.gym_id, person.id))
    if asked.clip is not None:
        clip = session.get(Clip, asked.clip)
        if clip is None or clip.athlete_id != person.id:
            raise Problem("invalid", "body.clip: the athlete has no such clip")
    row = PainReport(gym_id=person.gym_id, athlete_id=person.id, clip_id=asked.clip, text=asked.text)
    session.add(row)
    session.flush()
    audit(session, actor, "created", resource_of(row, "pain"))
    response.headers["Location"] = f"/api/v1/pain?athlete={person.id}"
    return PainGiven.model_validate(row)


@pain.post("/pain/{pain_id}/clear")
def clear_pain(pain_id: str, session: Session, actor: Actor) -> PainGiven:
    """Let the athlete go on; for a person who may judge it."""
    row = fetch(session, PainReport, pain_id, actor, "rule", "pain")
    if row.cleared is None:
        row.cleared, row.cleared_by = now(), actor.person_id
        audit(session, actor, "cleared", resource_of(row, "pain"))
    return PainGiven.model_validate(row)
