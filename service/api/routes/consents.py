"""Consents to being filmed and measured."""

from fastapi import Response
from sqlalchemy import select

from service.access.audit import audit
from service.access.decide import Resource
from service.api.deps import Actor, Session, fetch, require, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.people import ConsentGiven, NewConsent
from service.records import Consent, Person, now

consents = router("people")


@consents.get("/people/{person_id}/consents")
def list_consents(
    person_id: str, session: Session, actor: Actor, after: After = None, limit: Limit = 50
) -> Page[ConsentGiven]:
    """Consents of an athlete, withdrawn ones among them, the newest first."""
    person = fetch(session, Person, person_id, actor, "read", "person")
    require(actor, "read", Resource("consent", person.gym_id, person.id))
    query = select(Consent).where(Consent.athlete_id == person.id)
    return page(
        session, query, (Consent.given, Consent.id), after, limit, ConsentGiven.model_validate, newest_first=True
    )


@consents.post("/people/{person_id}/consents", status_code=201)
def add_consent(person_id: str, asked: NewConsent, session: Session, actor: Actor, response: Response) -> ConsentGiven:
    """Write down that an athlete, or a minor's guardian, agreed."""
    person = fetch(session, Person, person_id, actor, "read", "person")
    require(actor, "write", Resource("consent", person.gym_id, person.id))
    if (asked.given_by == "guardian") != (asked.guardian is not None):
        raise Problem("invalid", "body.guardian: say which guardian agreed, and only then")
    row = Consent(gym_id=person.gym_id, athlete_id=person.id, given_by=asked.given_by, guardian=asked.guardian)
    session.add(row)
    session.flush()
    audit(session, actor, "created", resource_of(row, "consent"), {"role": asked.given_by})
    response.headers["Location"] = f"/api/v1/people/{person.id}/consents"
    return ConsentGiven.model_validate(row)


@consents.delete("/consents/{consent_id}")
def withdraw_consent(consent_id: str, session: Session, actor: Actor) -> ConsentGiven:
    """Withdraw a consent; it stays on record as withdrawn, and no more clips are taken."""
    row = fetch(session, Consent, consent_id, actor, "write", "consent")
    row.withdrawn = row.withdrawn or now()
    audit(session, actor, "withdrawn", resource_of(row, "consent"))
    return ConsentGiven.model_validate(row)
