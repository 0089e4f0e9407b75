"""What the athlete's first page shows: what is to be done, and the clips that were sent."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final
from zoneinfo import ZoneInfo

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from models.document import VerdictWord
from models.prescription import Prescription as Plan
from models.prescription import parse_prescription
from service.access.actors import Actor
from service.access.within import within
from service.pages.athlete.decided import verdict_of
from service.pages.athlete.pace import Pace, pace_of
from service.pages.athlete.plain import Task, in_plain_words
from service.pages.naming import title
from service.pages.text import heading, say
from service.records import Clip, Effort, Gym, PainReport, Prescription, PrescriptionVersion, Ruling
from service.records.clips import State

CLIPS: Final = 20
"""How many clips are listed, the newest first."""


@dataclass(frozen=True)
class Prescribed:
    """One prescription: its words and its pace."""

    id: str
    plan: Plan
    task: Task
    pace: Pace


@dataclass(frozen=True)
class Sent:
    """A clip that the service has."""

    id: str
    what: str
    when: str
    state: State
    told: str
    """What came of it, in a few words."""
    verdicts: tuple[tuple[VerdictWord, int], ...]
    again: bool
    """The coach asks for another clip."""


def prescribed(records: Session, actor: Actor) -> list[Prescribed]:
    """The athlete's prescriptions that are in force, the oldest first."""
    mine = within(actor, "read", "prescription", Prescription.gym_id, Prescription.athlete_id)
    rows = records.scalars(select(Prescription).where(mine, Prescription.active).order_by(Prescription.created))
    return [_prescribed(row) for row in rows]


def _prescribed(row: Prescription) -> Prescribed:
    plan = parse_prescription(row.versions[-1].text.encode(), "the prescription")
    return Prescribed(row.id, plan, in_plain_words(plan), pace_of(plan))


def hurts(records: Session, actor: Actor) -> bool:
    """Whether something hurt, and no person has cleared it yet."""
    mine = within(actor, "read", "pain", PainReport.gym_id, PainReport.athlete_id)
    return records.scalar(select(PainReport.id).where(mine, PainReport.cleared.is_(None)).limit(1)) is not None


def sent(records: Session, actor: Actor) -> list[Sent]:
    """The athlete's newest clips."""
    mine = within(actor, "read", "clip", Clip.gym_id, Clip.athlete_id)
    of_clip = select(Effort.movement).where(Effort.clip_id == Clip.id, Effort.current)
    seen = of_clip.order_by(Effort.start).limit(1).scalar_subquery()
    query = (
        select(Clip, PrescriptionVersion.variant, seen)
        .outerjoin(PrescriptionVersion, PrescriptionVersion.id == Clip.prescription_version_id)
        .where(mine)
        .order_by(func.coalesce(Clip.filmed, Clip.arrived).desc(), Clip.id)
        .limit(CLIPS)
    )
    rows = [(clip, clip_name(variant, clip.movement or movement)) for clip, variant, movement in records.execute(query)]
    zone = gym_zone(records, actor)
    ids = [clip.id for clip, _ in rows]
    verdicts, again = _verdicts(records, ids), _to_film_again(records, ids)
    return [_sent(clip, name, zone, verdicts[clip.id], again=clip.id in again) for clip, name in rows]


def gym_zone(records: Session, actor: Actor) -> ZoneInfo:
    """The clock of the athlete's gym."""
    return ZoneInfo(records.get_one(Gym, actor.gym_id).time_zone)


def day_and_time(moment: datetime, zone: ZoneInfo) -> str:
    """`Thu 26 Nov, 18:05`."""
    local = moment.astimezone(zone)
    return say(
        "athlete.when",
        weekday=say(f"athlete.weekday.{local.weekday()}"),
        day=local.day,
        month=say(f"athlete.month.{local.month}"),
        time=f"{local:%H:%M}",
    )


def clip_name(variant: str | None, movement: str | None) -> str:
    """What was filmed, as far as anybody said or the measuring has seen."""
    name = variant or (movement and title(movement))
    return heading(name) if name else say("athlete.clips.unnamed")


def _sent(clip: Clip, name: str, zone: ZoneInfo, verdicts: Counter[VerdictWord], *, again: bool) -> Sent:
    counted: Iterable[VerdictWord] = ("met", "missed", "unsure")
    return Sent(
        id=clip.id,
        what=name,
        when=day_and_time(clip.filmed or clip.arrived, zone),
        state=clip.state,
        told=say(f"athlete.clips.state.{clip.state}"),
        verdicts=tuple((word, verdicts[word]) for word in counted if verdicts[word]),
        again=again,
    )


def _verdicts(records: Session, clips: Sequence[str]) -> dict[str, Counter[VerdictWord]]:
    """How many reps or holds of each clip got which verdict; the coach's is the one that counts."""
    query = (
        select(Effort.clip_id, Effort.ruling, Effort.verdict, func.count())
        .where(Effort.clip_id.in_(clips), Effort.current, Effort.verdict.is_not(None) | Effort.ruling.is_not(None))
        .group_by(Effort.clip_id, Effort.ruling, Effort.verdict)
    )
    found: dict[str, Counter[VerdictWord]] = defaultdict(Counter)
    for clip_id, ruling, machine, n in records.execute(query):
        verdict = verdict_of(ruling, machine)
        if verdict is not None:
            found[clip_id][verdict] += n
    return found


def _to_film_again(records: Session, clips: Sequence[str]) -> set[str]:
    """The clips that the coach wants to see again: one of their reps, or the whole."""
    one = select(Effort.clip_id).where(Effort.clip_id.in_(clips), Effort.current, Effort.ruling == "film again")
    whole = select(Ruling.clip_id).where(
        Ruling.clip_id.in_(clips), Ruling.effort_id.is_(None), Ruling.ruling == "film again"
    )
    return {*records.scalars(one), *records.scalars(whole)}
