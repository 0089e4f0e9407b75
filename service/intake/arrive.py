"""A clip arrives: what came is checked, what is kept knows no place and no device, and a job will measure it."""

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from models.errors import SensorError
from models.sensor import LARGEST, parse_sensor_track
from service.intake.examine import examine
from service.intake.facts import Facts
from service.jobs.port import JobQueue, submit_when_committed
from service.records.base import new_id, now
from service.records.clips import Clip
from service.records.gyms import Gym, Person
from service.records.prescriptions import PrescriptionVersion
from service.settings import Settings
from service.store import ClipFiles, Store
from service.store.places import scratch


def arrive(
    session: Session,
    store: Store,
    queue: JobQueue,
    settings: Settings,
    file: Path,
    athlete: Person,
    *,
    prescription_version: PrescriptionVersion | None,
    movement: str | None,
    hold: bool | None,
    sensor: bytes | None,
    filmed: datetime | None,
) -> Clip:
    """Take in a clip that has come whole; `file` is only read, and the caller's to delete.

    The clip's job is submitted when `session` commits. The same file from the same athlete is the same clip: what was
    kept of it is given back as it is.

    Args:
        session: Where the row is added; the caller commits.
        store: Where the files go.
        queue: Gets the job.
        settings: Limits, and how long clips are kept.
        file: What was sent.
        athlete: Whom it shows.
        prescription_version: What it is judged by.
        movement: What it shows, where nothing is prescribed.
        hold: Whether it shows holds; None: as the movement is usually done.
        sensor: A sensor track that came along.
        filmed: When, with its time zone, if the athlete said so; else as the file says.

    Raises:
        ClipError: the file is no clip that can be kept.
        SensorError: the sensor track is none.
    """
    source_sha256 = _sha256(file)
    if earlier := _earlier(session, athlete, source_sha256):
        if earlier.state == "waiting":  # perhaps its job was never submitted; submitting twice does nothing
            submit_when_committed(session, queue, earlier.id)
        return earlier
    if sensor is not None:
        _check_sensor(sensor)
    row: dict[str, Any] = {
        "id": new_id(),
        "gym_id": athlete.gym_id,
        "athlete_id": athlete.id,
        "prescription_version_id": prescription_version and prescription_version.id,
        "movement": movement,
        "hold": hold,
        "source_sha256": source_sha256,
        "sensor": sensor is not None,
    }
    with scratch(settings) as folder:
        facts = examine(file, folder / "clip", settings)
        row |= _told(folder / "clip", facts, filmed) | _kept_until(session, athlete, settings)
        with _all_or_nothing(store, row["id"]) as files:
            store.put(files.clip(facts.container), folder / "clip")
            if sensor is not None:
                (folder / "sensor.json").write_bytes(sensor)
                store.put(files.sensor, folder / "sensor.json")
            clip = _add(session, row)
    if clip.id != row["id"]:
        store.delete(files.folder)
    submit_when_committed(session, queue, clip.id)
    return clip


def _earlier(session: Session, athlete: Person, source_sha256: str) -> Clip | None:
    return session.scalar(select(Clip).where(Clip.athlete_id == athlete.id, Clip.source_sha256 == source_sha256))


def _check_sensor(sensor: bytes) -> None:
    if len(sensor) > LARGEST:
        raise SensorError(f"the sensor track is larger than {LARGEST // 2**20} MiB")
    parse_sensor_track(sensor, "the sensor track")


def _told(kept: Path, facts: Facts, filmed: datetime | None) -> dict[str, Any]:
    return {
        "sha256": _sha256(kept),
        "bytes": kept.stat().st_size,
        "container": facts.container,
        "seconds": facts.seconds,
        "filmed": filmed or facts.filmed,
    }


def _kept_until(session: Session, athlete: Person, settings: Settings) -> dict[str, Any]:
    days = session.get_one(Gym, athlete.gym_id).keep_clips_days or settings.keep_clips_days
    arrived = now()
    return {"arrived": arrived, "expires": arrived + timedelta(days=days)}


def _add(session: Session, row: dict[str, Any]) -> Clip:
    """The new clip, or another, where the same file came twice at once and the other was quicker."""
    dialect = postgresql if session.get_bind().dialect.name == "postgresql" else sqlite
    session.execute(dialect.insert(Clip).values(row).on_conflict_do_nothing())
    where = Clip.athlete_id == row["athlete_id"], Clip.source_sha256 == row["source_sha256"]
    return session.scalars(select(Clip).where(*where)).one()


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


@contextmanager
def _all_or_nothing(store: Store, clip_id: str) -> Iterator[ClipFiles]:
    """The keys of a new clip; leaves no files where its row is not added."""
    files = ClipFiles(clip_id)
    try:
        yield files
    except BaseException:
        store.delete(files.folder)
        raise
