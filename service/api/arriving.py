"""What comes with a clip: whose it is, what was prescribed, and whether it may be taken."""

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from models.movements import load_movement
from service.access.actors import Actor
from service.access.decide import Resource
from service.access.links import spend_clip
from service.api.deps import require
from service.api.problems import Problem
from service.api.state import Parts
from service.intake.arrive import arrive
from service.records import Consent, Person, Prescription, PrescriptionVersion

ADULT: Final = 18


@dataclass(frozen=True)
class Told:
    """What the sender says of a clip."""

    athlete: str | None = None
    prescription: str | None = None
    movement: str | None = None
    hold: bool | None = None
    filmed: datetime | None = None


def check(records: Records, actor: Actor, told: Told) -> Person:
    """The athlete of a clip that may be taken.

    Raises:
        Problem: the sender may not, or something does not go together.
        BadInput: there is no such movement.
    """
    athlete = records.get(Person, told.athlete or actor.person_id or "")
    if athlete is None or athlete.gym_id != actor.gym_id or athlete.ended is not None:
        raise Problem("invalid", "athlete: the gym has no such person")
    require(actor, "write", Resource("clip", athlete.gym_id, athlete.id))
    _require_consent(records, athlete)
    version_of(records, athlete, told.prescription)
    if told.prescription is not None and told.movement is not None:
        raise Problem("invalid", "movement: the prescription says it already; send one of them")
    if told.movement is not None:
        load_movement(told.movement)
    return athlete


def version_of(records: Records, athlete: Person, prescription_id: str | None) -> PrescriptionVersion | None:
    """The newest version of one of the athlete's prescriptions.

    Raises:
        Problem: the athlete has no such prescription.
    """
    if prescription_id is None:
        return None
    row = records.get(Prescription, prescription_id)
    if row is None or row.athlete_id != athlete.id:
        raise Problem("invalid", "prescription: the athlete has no such prescription")
    return row.versions[-1]


def take(parts: Parts, actor: Actor, told: Told, file: Path, sensor: bytes | None) -> str:
    """Take in a clip that has come whole; the identifier of what it became.

    In transactions of its own: looking into a clip takes seconds, in which no other may wait.

    Raises:
        BadInput: it is no clip that can be kept, or the day's clips have been sent.
        Problem: it may not be taken any more.
    """
    with parts.database.session() as records:
        spend_clip(records, actor)
    with parts.database.session() as records:
        athlete = check(records, actor, told)
        clip = arrive(
            records,
            parts.store,
            parts.queue,
            parts.settings,
            file,
            athlete,
            prescription_version=version_of(records, athlete, told.prescription),
            movement=told.movement,
            hold=told.hold,
            sensor=sensor,
            filmed=told.filmed,
        )
        return clip.id


def _require_consent(records: Records, athlete: Person) -> None:
    """A minor is filmed with a guardian's consent only, and nobody once theirs was withdrawn."""
    rows = list(records.scalars(select(Consent).where(Consent.athlete_id == athlete.id)))
    standing = [row for row in rows if row.withdrawn is None]
    if _is_minor(athlete) and not any(row.given_by == "guardian" for row in standing):
        raise Problem("no-consent", "the athlete is a minor, and no guardian's consent is on record")
    if rows and not standing:
        raise Problem("no-consent", "the consent to be filmed was withdrawn")


def _is_minor(athlete: Person) -> bool:
    if athlete.born is None:
        return False
    today = datetime.now(UTC).date()
    birthday_to_come = (today.month, today.day) < (athlete.born.month, athlete.born.day)
    return today.year - athlete.born.year - birthday_to_come < ADULT
