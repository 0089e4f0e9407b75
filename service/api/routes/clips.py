"""Clips: sent in one piece, listed, measured again, deleted."""

import tempfile
from datetime import datetime
from pathlib import Path
from shutil import copyfileobj
from typing import Annotated

from fastapi import File, Form, Query, Response, UploadFile
from sqlalchemy import select

from models.movements import load_movement
from service.access.audit import audit
from service.access.within import within
from service.api.arriving import Told, check, take, version_of
from service.api.deps import Actor, Parts, Sender, Session, fetch, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.clips import ClipGiven, MeasureAsked
from service.api.shapes.common import EXAMPLE_ID
from service.hooks.announce import announce
from service.jobs.port import submit_when_committed
from service.leaving.deleting import delete_clip
from service.records import Clip, Person, new_id
from service.records.clips import State

clips = router("clips")
sending = router("clips")
"""What is done once without a key: the same file from the same athlete is the same clip."""


@sending.post("/clips", status_code=201)
def send_clip(
    file: Annotated[UploadFile, File(description="The clip, at most 64 MB; larger ones come by /uploads.")],
    actor: Sender,
    parts: Parts,
    response: Response,
    athlete: Annotated[
        str | None, Form(max_length=40, description="Whom it shows; athletes leave it out.", examples=[EXAMPLE_ID])
    ] = None,
    prescription: Annotated[
        str | None, Form(max_length=40, description="What it is judged by.", examples=[EXAMPLE_ID])
    ] = None,
    movement: Annotated[
        str | None, Form(max_length=60, description="What it shows, if nothing is prescribed.", examples=["push-up"])
    ] = None,
    hold: Annotated[bool | None, Form(description="Whether it shows holds.")] = None,
    filmed: Annotated[datetime | None, Form(description="When; else as the file says.")] = None,
    sensor: Annotated[UploadFile | None, File(description="A sensor track, JSON.")] = None,
) -> ClipGiven:
    """Send a small clip in one piece. Sent again, it is the same clip."""
    if filmed is not None and filmed.tzinfo is None:
        raise Problem("invalid", "filmed: needs its time zone")
    told = Told(athlete, prescription, movement, hold, filmed)
    with parts.database.session() as records:
        check(records, actor, told)
    parts.settings.data.joinpath("scratch").mkdir(parents=True, exist_ok=True, mode=0o700)
    with tempfile.NamedTemporaryFile(dir=parts.settings.data / "scratch") as copy:
        copyfileobj(file.file, copy)
        copy.flush()
        clip_id = take(parts, actor, told, Path(copy.name), sensor.file.read() if sensor else None)
    response.headers["Location"] = f"/api/v1/clips/{clip_id}"
    with parts.database.session() as records:
        return ClipGiven.model_validate(records.get_one(Clip, clip_id))


@clips.get("/clips")
def list_clips(
    session: Session,
    actor: Actor,
    after: After = None,
    limit: Limit = 50,
    athlete: Annotated[str | None, Query(max_length=40, description="Only this athlete's.")] = None,
    state: Annotated[State | None, Query(description="Only those in this state.")] = None,
) -> Page[ClipGiven]:
    """Clips, the newest first; an athlete's own."""
    query = select(Clip).where(within(actor, "read", "clip", Clip.gym_id, Clip.athlete_id))
    if athlete is not None:
        query = query.where(Clip.athlete_id == athlete)
    if state is not None:
        query = query.where(Clip.state == state)
    return page(session, query, (Clip.arrived, Clip.id), after, limit, ClipGiven.model_validate, newest_first=True)


@clips.get("/clips/{clip_id}")
def get_clip(clip_id: str, session: Session, actor: Actor) -> ClipGiven:
    """One clip, and how far it is."""
    return ClipGiven.model_validate(fetch(session, Clip, clip_id, actor, "read", "clip"))


@clips.post("/clips/{clip_id}/measure", status_code=202)
def measure_again(clip_id: str, asked: MeasureAsked, session: Session, actor: Actor, parts: Parts) -> ClipGiven:
    """Measure a clip again, perhaps by another prescription; the measurement that there is counts until then."""
    clip = fetch(session, Clip, clip_id, actor, "write", "clip")
    if clip.files_gone is not None:
        raise Problem("files-gone")
    if asked.prescription is not None and asked.movement is not None:
        raise Problem("invalid", "body.movement: the prescription says it already; send one of them")
    if asked.prescription is not None:
        version = version_of(session, session.get_one(Person, clip.athlete_id), asked.prescription)
        clip.prescription_version_id, clip.movement, clip.hold = version.id if version else None, None, None
    if asked.movement is not None:
        clip.prescription_version_id, clip.movement = None, load_movement(asked.movement).name
    if asked.hold is not None:
        clip.hold = asked.hold
    clip.state, clip.stage, clip.progress, clip.reason = "waiting", None, 0.0, None
    audit(session, actor, "measured again", resource_of(clip, "clip"))
    session.flush()
    submit_when_committed(session, parts.queue, clip.id, again=new_id())
    return ClipGiven.model_validate(clip)


@clips.delete("/clips/{clip_id}", status_code=204)
def delete(clip_id: str, session: Session, actor: Actor, parts: Parts) -> None:
    """Delete a clip with its measurements, rulings and files. Backups forget it when their time is over."""
    clip = fetch(session, Clip, clip_id, actor, "delete", "clip")
    gym_id, athlete_id = clip.gym_id, clip.athlete_id
    delete_clip(session, parts.store, parts.queue, parts.settings, actor, clip)
    announce(session, gym_id, "clip.deleted", {"clip": clip_id, "athlete": athlete_id})
