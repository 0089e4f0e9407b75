"""Resumable uploads (tus 1.0): a clip comes in pieces, and survives lost connections and restarts of this service."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Annotated, Final

from fastapi import Depends, Header, Request, Response
from fastapi.concurrency import contextmanager_in_threadpool, run_in_threadpool
from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session as Records
from starlette.requests import ClientDisconnect

from models.errors import BadInput
from models.sensor import VERSION, parse_sensor_track
from service.access.errors import QuotaSpent
from service.access.links import clips_left
from service.api import tus
from service.api.arriving import check, take
from service.api.deps import Actor, Parts, Sender, Session, fetch
from service.api.problems import Problem
from service.api.route import router
from service.api.state import Parts as AppParts
from service.intake.uploads import BusyError, TooLongError, UploadFiles, Writer
from service.records import Upload, now
from service.records.base import new_id

uploads = router("clips")

PLACE: Final = "/api/v1/uploads"
MOST_OPEN: Final = 50
"""Uploads of one athlete at the same time: no link fills the disk with clips that never end."""
SAMPLES: Final = {"document": VERSION, "samples": [{"time": 0.0, "roll": 1.5, "pitch": -4.0}]}
JSON: Final = {"application/json": {"schema": {"type": "object"}, "example": SAMPLES}}
TRACK: Final = {"requestBody": {"required": True, "content": JSON}}

Length = Annotated[int | None, Header(alias="Upload-Length", ge=0, lt=2**62, description="Bytes of the whole clip.")]
Offset = Annotated[int | None, Header(alias="Upload-Offset", ge=0, lt=2**62, description="Bytes that have come.")]
Checksum = Annotated[
    str | None,
    Header(alias="Upload-Checksum", max_length=200, description="`sha256 <base64>` of what this request sends."),
]


@uploads.options("/uploads", status_code=204)
def tell_abilities(parts: Parts) -> Response:
    """What of the protocol is spoken here."""
    headers = {
        "Tus-Version": tus.VERSION,
        "Tus-Extension": tus.EXTENSIONS,
        "Tus-Max-Size": str(_largest(parts)),
        "Tus-Checksum-Algorithm": "sha256",
    }
    return Response(status_code=204, headers=headers)


@uploads.post("/uploads", status_code=201, response_class=Response)
def begin_upload(
    session: Session,
    actor: Actor,
    parts: Parts,
    version: tus.TusVersion = None,
    length: Length = None,
    metadata: tus.Metadata = None,
) -> Response:
    """Announce a clip. `Location` is where its bytes go."""
    tus.require_version(version)
    pairs = tus.read_metadata(metadata)
    kept = tus.kept_metadata(pairs)
    files = UploadFiles(parts.settings)
    length = _check_length(length, parts, files)
    athlete = check(session, actor, tus.told_by(kept))
    _check_quota(session, actor, athlete.id)
    row = Upload(
        id=new_id(),
        gym_id=athlete.gym_id,
        athlete_id=athlete.id,
        length=length,
        meta={**kept, "athlete": athlete.id},
        expires=now() + timedelta(hours=parts.settings.upload_hours),
    )
    session.add(row)
    session.flush()
    files.begin(row.id)
    if "sensor" in pairs:
        files.sensor(row.id).write_bytes(pairs["sensor"])
    headers = {**tus.expiry(row), "Location": f"{PLACE}/{row.id}"}
    return Response(status_code=201, headers=headers)


async def _raw(request: Request) -> bytes:
    return await request.body()


@uploads.put("/uploads/{upload_id}/sensor", status_code=204, openapi_extra=TRACK)
def send_sensor(
    upload_id: str, track: Annotated[bytes, Depends(_raw)], session: Session, actor: Actor, parts: Parts
) -> Response:
    """Send the phone's sensor track, where it is too long for the metadata; before the clip's last byte."""
    row = fetch(session, Upload, upload_id, actor, "write", "clip")
    files = UploadFiles(parts.settings)
    if row.clip_id is not None or files.size(row.id) is None:
        raise Problem("conflict", "the clip has come already; send the track before its last byte")
    parse_sensor_track(track, "the sensor track")
    files.sensor(row.id).write_bytes(track)
    return Response(status_code=204)


@uploads.head("/uploads/{upload_id}", response_class=Response)
def tell_offset(upload_id: str, actor: Sender, parts: Parts, version: tus.TusVersion = None) -> Response:
    """How much has come. Where all has, the clip is taken in, if that did not happen yet."""
    tus.require_version(version)
    row = _find(parts, actor, upload_id)
    size = UploadFiles(parts.settings).size(row.id)
    if row.clip_id is None and size == row.length:
        with _alone(parts, row):
            row.clip_id = _finish(parts, actor, row)
    offset = row.length if row.clip_id else size or 0
    headers = {"Upload-Length": str(row.length), "Upload-Metadata": tus.write_metadata(row.meta)}
    return Response(status_code=200, headers=headers | _state(row, offset))


@uploads.patch("/uploads/{upload_id}", status_code=204)
async def send_bytes(
    upload_id: str,
    request: Request,
    actor: Sender,
    parts: Parts,
    version: tus.TusVersion = None,
    offset: Offset = None,
    checksum: Checksum = None,
) -> Response:
    """Send on from `Upload-Offset`, as `application/offset+octet-stream`. The last byte makes it a clip: see `Plumbrep-Clip`."""
    tus.require_version(version)
    if request.headers.get("content-type") != tus.CONTENT_TYPE:
        raise Problem(415, f"Content-Type must be {tus.CONTENT_TYPE}.")
    if offset is None:
        raise Problem(400, "Upload-Offset is missing.")
    wanted = tus.read_checksum(checksum)
    row = await run_in_threadpool(_find, parts, actor, upload_id)
    if row.clip_id is not None and offset == row.length:
        return Response(status_code=204, headers=_state(row, row.length))
    async with contextmanager_in_threadpool(_alone(parts, row)) as writer:
        if writer.size != offset:
            raise Problem("offset", headers={"Upload-Offset": str(writer.size)})
        whole = await _write(request, writer)
        if wanted is not None and (not whole or writer.sha256() != wanted):
            writer.take_back()
            raise Problem("checksum")
        if writer.size == row.length:
            row.clip_id = await run_in_threadpool(_finish, parts, actor, row)
        return Response(status_code=204, headers=_state(row, writer.size))


@uploads.delete("/uploads/{upload_id}", status_code=204)
def end_upload(upload_id: str, actor: Sender, parts: Parts, version: tus.TusVersion = None) -> Response:
    """Give an upload up; a clip that it became already stays."""
    tus.require_version(version)
    row = _find(parts, actor, upload_id)
    if row.clip_id is None:
        with _alone(parts, row):
            _drop(parts, row)
    return Response(status_code=204)


async def _write(request: Request, writer: Writer) -> bool:
    """Write what comes, as it comes; whether the sender stayed to the end.

    Raises:
        Problem: more comes than was announced.
    """
    try:
        async for piece in request.stream():
            await run_in_threadpool(writer.write, piece)
    except ClientDisconnect:
        return False
    except TooLongError as fault:
        raise Problem(413, "More came than Upload-Length announced.") from fault
    return True


def _check_length(length: int | None, parts: AppParts, files: UploadFiles) -> int:
    if not length:
        raise Problem(400, "Upload-Length is missing, or nothing; an upload of unknown length is not taken.")
    if length > _largest(parts):
        raise Problem(413, f"A clip can have {parts.settings.clip_max_mb} MB; cut it to one set.")
    if not files.has_room(length):
        raise Problem("no-room")
    return length


def _check_quota(records: Records, actor: Actor, athlete_id: str) -> None:
    """Refuse what would be more than a day's clips when it has come."""
    open_ = select(func.count()).where(
        Upload.athlete_id == athlete_id, Upload.clip_id.is_(None), Upload.expires > now()
    )
    begun = records.scalar(open_) or 0
    left = clips_left(records, actor)
    if begun >= MOST_OPEN or (left is not None and begun >= left):
        raise Problem("quota", headers={"Retry-After": "3600"})


def _largest(parts: AppParts) -> int:
    return parts.settings.clip_max_mb * 2**20


def _find(parts: AppParts, actor: Actor, upload_id: str) -> Upload:
    """An upload that may go on.

    Raises:
        Problem: there is none, not for this actor, or it took too long.
    """
    with parts.database.session() as records:
        row = fetch(records, Upload, upload_id, actor, "write", "clip")
    gone = row.clip_id is None and UploadFiles(parts.settings).size(row.id) is None
    if gone or row.expires <= now():
        raise Problem("upload-gone")
    return row


@contextmanager
def _alone(parts: AppParts, row: Upload) -> Iterator[Writer]:
    """Have an upload's file for oneself.

    Raises:
        Problem: another request has it, or it is gone.
    """
    try:
        with UploadFiles(parts.settings).alone(row.id, row.length) as writer:
            yield writer
    except BusyError as fault:
        raise Problem("upload-busy") from fault
    except FileNotFoundError as fault:
        raise Problem("upload-gone") from fault


def _finish(parts: AppParts, actor: Actor, row: Upload) -> str:
    """Make a clip of what has come whole, while nobody else writes; its identifier. What is no clip is not kept."""
    files = UploadFiles(parts.settings)
    sensor = files.sensor(row.id)
    try:
        told = tus.told_by(row.meta)
        clip_id = take(parts, actor, told, files.path(row.id), sensor.read_bytes() if sensor.exists() else None)
    except QuotaSpent:
        raise  # it can be taken in tomorrow
    except (BadInput, Problem):
        _drop(parts, row)
        raise
    with parts.database.session() as records:
        records.get_one(Upload, row.id).clip_id = clip_id
    files.remove(row.id)
    return clip_id


def _drop(parts: AppParts, row: Upload) -> None:
    with parts.database.session() as records:
        records.execute(delete(Upload).where(Upload.id == row.id))
    UploadFiles(parts.settings).remove(row.id)


def _state(row: Upload, offset: int) -> dict[str, str]:
    clip = {"Plumbrep-Clip": row.clip_id} if row.clip_id else {}
    return {"Upload-Offset": str(offset), "Cache-Control": "no-store", **tus.expiry(row), **clip}
