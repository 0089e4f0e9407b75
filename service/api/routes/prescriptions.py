"""Prescriptions, version by version."""

from typing import Annotated

from fastapi import Query, Response
from sqlalchemy import select
from sqlalchemy.orm import selectinload

from models.errors import PrescriptionError
from models.prescription import Prescription as Plan
from models.prescription import parse_prescription
from service.access.decide import Resource
from service.access.within import within
from service.api.deps import Actor, Session, fetch, require
from service.api.etags import IfMatch, require_match
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.prescriptions import NewPrescription, PrescriptionChange, PrescriptionGiven, VersionGiven
from service.plans import dose, what
from service.records import Person, Prescription, PrescriptionVersion
from service.records.using import take_into_use

prescriptions = router("prescriptions")


@prescriptions.get("/prescriptions")
def list_prescriptions(
    session: Session,
    actor: Actor,
    after: After = None,
    limit: Limit = 50,
    athlete: Annotated[str | None, Query(max_length=40, description="Only this athlete's.")] = None,
    movement: Annotated[str | None, Query(max_length=60, description="Only of this movement.")] = None,
    active: Annotated[bool | None, Query(description="Only those that are, or are not, to be done now.")] = None,
) -> Page[PrescriptionGiven]:
    """Prescriptions, the newest first; an athlete's own."""
    query = select(Prescription).where(
        within(actor, "read", "prescription", Prescription.gym_id, Prescription.athlete_id)
    )
    wanted = {Prescription.athlete_id: athlete, Prescription.movement: movement, Prescription.active: active}
    query = query.where(*(column == value for column, value in wanted.items() if value is not None))
    query = query.options(selectinload(Prescription.versions))
    return page(session, query, (Prescription.created, Prescription.id), after, limit, _given, newest_first=True)


@prescriptions.post("/prescriptions", status_code=201)
def add_prescription(asked: NewPrescription, session: Session, actor: Actor, response: Response) -> PrescriptionGiven:
    """Prescribe; the first version."""
    athlete = session.get(Person, asked.athlete)
    if athlete is None or athlete.gym_id != actor.gym_id:
        raise Problem("invalid", "body.athlete: the gym has no such person")
    require(actor, "prescribe", Resource("prescription", actor.gym_id, athlete.id))
    plan = _read(asked.text)
    row = Prescription(gym_id=athlete.gym_id, athlete_id=athlete.id, movement=plan.movement)
    row.versions.append(_version(row, plan, asked.text, actor))
    session.add(row)
    take_into_use(session, athlete.gym_id, plan.movement)
    session.flush()
    response.headers["Location"] = f"/api/v1/prescriptions/{row.id}"
    return _given(row)


@prescriptions.get("/prescriptions/{prescription_id}")
def get_prescription(prescription_id: str, session: Session, actor: Actor) -> PrescriptionGiven:
    """A prescription with its newest version."""
    return _given(fetch(session, Prescription, prescription_id, actor, "read", "prescription"))


@prescriptions.put("/prescriptions/{prescription_id}")
def change_prescription(
    prescription_id: str, asked: PrescriptionChange, session: Session, actor: Actor, if_match: IfMatch = None
) -> PrescriptionGiven:
    """Write a new version; earlier ones stay, and what was judged by them stays as it was judged."""
    row = fetch(session, Prescription, prescription_id, actor, "prescribe", "prescription")
    require_match(if_match, _given(row))
    plan = _read(asked.text)
    if plan.movement != row.movement:
        raise Problem(
            "conflict", f"this prescribes {row.movement}; for {plan.movement}, write a prescription of its own"
        )
    row.active = asked.active
    if asked.text != row.versions[-1].text:
        row.versions.append(_version(row, plan, asked.text, actor))
    session.flush()
    return _given(row)


@prescriptions.get("/prescriptions/{prescription_id}/versions")
def list_versions(
    prescription_id: str, session: Session, actor: Actor, after: After = None, limit: Limit = 50
) -> Page[VersionGiven]:
    """All versions, the newest first."""
    row = fetch(session, Prescription, prescription_id, actor, "read", "prescription")
    query = select(PrescriptionVersion).where(PrescriptionVersion.prescription_id == row.id)
    return page(session, query, (PrescriptionVersion.n,), after, limit, _version_given, newest_first=True)


def _read(text: str) -> Plan:
    return parse_prescription(text.encode(), "the prescription")


def _version(row: Prescription, plan: Plan, text: str, actor: Actor) -> PrescriptionVersion:
    n = row.versions[-1].n + 1 if row.versions else 1
    return PrescriptionVersion(gym_id=row.gym_id, n=n, text=text, variant=what(plan), created_by=actor.person_id)


def _given(row: Prescription) -> PrescriptionGiven:
    return PrescriptionGiven(
        id=row.id,
        athlete_id=row.athlete_id,
        movement=row.movement,
        active=row.active,
        created=row.created,
        version=_version_given(row.versions[-1]),
    )


def _version_given(row: PrescriptionVersion) -> VersionGiven:
    return VersionGiven(
        id=row.id,
        n=row.n,
        text=row.text,
        variant=row.variant,
        dose=_dose(row.text),
        created=row.created,
        created_by=row.created_by,
    )


def _dose(text: str) -> str | None:
    """In words; None where the catalogue no longer has what was prescribed."""
    try:
        return dose(_read(text))
    except PrescriptionError:
        return None
