"""Keep what was measured in a clip. However often the same is kept, by however many at once, it is kept once."""

import json
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from models.document import Document, Hold, Rep, Set
from service.records import rows
from service.records.carrying import Ruled, carry_correction, corrected_before, ruled_before, ruling_of
from service.records.changing import next_change
from service.records.clips import Clip
from service.records.gyms import Gym
from service.records.prescriptions import PrescriptionVersion
from service.records.results import Effort, Measurement, SetRow


class ClipGone(LookupError):
    """The clip was deleted while it was measured: there is nothing to keep."""


def keep_measurement(
    session: Session, clip: Clip, version: PrescriptionVersion | None, document: Document
) -> Measurement:
    """Keep a document as the current measurement of its clip; nothing happens where it is that already.

    Earlier measurements stay, but their efforts are no longer current. One that is kept already, made by the same program
    with the same settings and judged by the same version, becomes current again. Call this before anything else is
    changed in the transaction, and end that soon: other changes of the gym's results wait for it.

    Args:
        session: The transaction to keep it in.
        clip: The clip; only its identifiers and times are read.
        version: What the document's verdicts were judged by; None: it was only measured.
        document: What was measured.

    Raises:
        ClipGone: the clip was deleted meanwhile.
    """
    key = _key(document, version)
    kept = _kept(session, clip, key)
    if kept is not None and kept.current:
        return kept
    changed = next_change(session, clip.gym_id)
    kept = _kept(session, clip, key)  # again: whoever held the gym may have kept it meanwhile
    if kept is not None and kept.current:
        return kept
    if session.scalar(select(Clip.id).where(Clip.id == clip.id)) is None:
        raise ClipGone(f"clip {clip.id} was deleted while it was measured")
    _withdraw(session, clip, changed)
    if kept is None:
        return _add(session, clip, version, document, key, changed)
    kept.current = True
    _mark(session, kept, changed)
    return kept


def week_of(moment: datetime, time_zone: str) -> date:
    """The Monday of the week that a moment belongs to, by a gym's clock."""
    day = moment.astimezone(UTC if time_zone == "UTC" else ZoneInfo(time_zone)).date()
    return day - timedelta(days=day.weekday())


def _key(document: Document, version: PrescriptionVersion | None) -> str:
    """Equal for documents that say the same of a clip. The movement is no setting, but shapes all of it."""
    made = [document.made_by.model_dump(mode="json"), document.movement, version and version.id]
    return sha256(json.dumps(made, sort_keys=True).encode()).hexdigest()


def _kept(session: Session, clip: Clip, key: str) -> Measurement | None:
    asked = select(Measurement).where(Measurement.clip_id == clip.id, Measurement.key == key)
    return session.scalar(asked, execution_options={"populate_existing": True})


def _withdraw(session: Session, clip: Clip, changed: int) -> None:
    """What was current of the clip no longer is."""
    older = update(Measurement).where(Measurement.clip_id == clip.id, Measurement.current)
    session.execute(older.values(current=False))
    efforts = update(Effort).where(Effort.clip_id == clip.id, Effort.current)
    session.execute(efforts.values(current=False, changed=changed))


def _mark(session: Session, kept: Measurement, changed: int) -> None:
    """The efforts of a measurement are current again."""
    sets = select(SetRow.id).where(SetRow.measurement_id == kept.id)
    session.execute(update(Effort).where(Effort.set_id.in_(sets)).values(current=True, changed=changed))


def _add(
    session: Session, clip: Clip, version: PrescriptionVersion | None, document: Document, key: str, changed: int
) -> Measurement:
    made = Measurement(
        gym_id=clip.gym_id,
        clip_id=clip.id,
        key=key,
        prescription_version_id=version and version.id,
        made_by=document.made_by.model_dump(mode="json"),
        document=document.model_dump_json(),
    )
    session.add(made)
    session.flush()
    done = clip.filmed or clip.arrived
    shared = {
        "gym_id": clip.gym_id,
        "athlete_id": clip.athlete_id,
        "clip_id": clip.id,
        "done": done,
        "week": week_of(done, session.get_one(Gym, clip.gym_id).time_zone),
        "changed": changed,
        "movement": document.movement,
        "variant": version and version.variant,
    }
    ruled = ruled_before(session, clip.id, version.id if version else None)
    corrected = corrected_before(session, clip.id)
    for each in document.sets:
        for found, effort in _add_set(session, made, clip, each, shared, ruled):
            if isinstance(found, Rep):
                carry_correction(session, document, found, effort, corrected)
    session.flush()
    return made


def _add_set(
    session: Session, made: Measurement, clip: Clip, each: Set, shared: dict[str, Any], ruled: Sequence[Ruled]
) -> list[tuple[Rep | Hold, Effort]]:
    """One set with its efforts and all checks; `shared` are the columns that all efforts of a clip have in common."""
    row = SetRow(
        gym_id=clip.gym_id,
        measurement_id=made.id,
        clip_id=clip.id,
        athlete_id=clip.athlete_id,
        n=each.n,
        start=each.start,
        end=each.end,
        verdict=each.verdict,
    )
    session.add(row)
    session.flush()
    found: tuple[Rep | Hold, ...] = (*each.reps, *each.holds)
    efforts = [Effort(set_id=row.id, ruling=ruling_of(one, ruled), **shared, **rows.effort(one)) for one in found]
    session.add_all(efforts)
    session.flush()
    session.add_all(rows.checks(each.checks, row.id, None))
    both = list(zip(found, efforts, strict=True))
    for one, effort in both:
        session.add_all(rows.checks(one.checks, row.id, effort.id))
    return both
