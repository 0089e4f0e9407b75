"""A gym with one athlete, one coach and one clip, for tests of what is kept of them."""

from dataclasses import dataclass
from datetime import UTC, datetime

from sqlalchemy.orm import Session

from service.records import Clip, Gym, Person, Prescription, PrescriptionVersion, new_id

FILMED = datetime(2026, 3, 4, 18, 30, tzinfo=UTC)


@dataclass(frozen=True)
class Made:
    gym: str
    athlete: str
    coach: str
    clip: str
    version: str


def make_gym(session: Session, name: str = "Harbour Bars", time_zone: str = "UTC") -> Made:
    gym = Gym(id=new_id(), name=name, time_zone=time_zone)
    session.add(gym)
    session.flush()
    athlete = Person(id=new_id(), gym_id=gym.id, role="athlete", name="Mira")
    coach = Person(id=new_id(), gym_id=gym.id, role="coach", name="Ode", login=f"ode-{gym.id}")
    session.add_all([athlete, coach])
    session.flush()
    version = add_version(session, gym.id, athlete.id)
    clip = add_clip(session, gym.id, athlete.id)
    return Made(gym.id, athlete.id, coach.id, clip.id, version.id)


def add_version(session: Session, gym_id: str, athlete_id: str, variant: str = "push-up, slow") -> PrescriptionVersion:
    prescription = Prescription(id=new_id(), gym_id=gym_id, athlete_id=athlete_id, movement="push-up")
    session.add(prescription)
    session.flush()
    made = PrescriptionVersion(gym_id=gym_id, prescription_id=prescription.id, n=1, text="", variant=variant)
    session.add(made)
    session.flush()
    return made


def add_clip(session: Session, gym_id: str, athlete_id: str, filmed: datetime | None = FILMED) -> Clip:
    digest = new_id()
    made = Clip(
        id=new_id(),
        gym_id=gym_id,
        athlete_id=athlete_id,
        source_sha256=digest,
        sha256=digest,
        bytes=1000,
        container="mp4",
        seconds=15.0,
        filmed=filmed,
    )
    session.add(made)
    session.flush()
    return made
