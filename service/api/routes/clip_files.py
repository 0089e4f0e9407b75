"""What is kept of a clip: the clip itself, what browsers play, the motion series, the measurement document."""

from typing import Any

from fastapi import Request
from starlette.responses import Response

from service.access.actors import Actor as Known
from service.access.decide import Resource
from service.api import ranges
from service.api.deps import Parts, Sender, fetch, require
from service.api.etags import etag
from service.api.holding import document_for
from service.api.measured import current_measurement
from service.api.problems import Problem
from service.api.route import router
from service.api.state import Parts as AppParts
from service.records import Clip
from service.store import ClipFiles, Missing

clip_files = router("clips")

TYPES = {"mp4": "video/mp4", "mov": "video/quicktime", "webm": "video/webm", "mkv": "video/x-matroska"}
PARTS: dict[int | str, dict[str, Any]] = {
    200: {"description": "All of it."},
    206: {"description": "The range that was asked for."},
    304: {"description": "The reader has it."},
    416: {"description": "No such range."},
}


@clip_files.get("/clips/{clip_id}/file", response_class=Response, responses=PARTS)
@clip_files.head("/clips/{clip_id}/file", response_class=Response, include_in_schema=False)
def get_file(clip_id: str, request: Request, actor: Sender, parts: Parts) -> Response:
    """The clip as it was sent, without place and device."""
    clip = _clip(parts, actor, clip_id)
    key, kind = ClipFiles(clip.id).clip(clip.container), TYPES[clip.container]
    return _send(request, parts, clip, key, kind, f"clip.{clip.container}", clip.sha256)


@clip_files.get("/clips/{clip_id}/proxy", response_class=Response, responses=PARTS)
@clip_files.head("/clips/{clip_id}/proxy", response_class=Response, include_in_schema=False)
def get_proxy(clip_id: str, request: Request, actor: Sender, parts: Parts) -> Response:
    """A copy that every browser plays, with the same frame times; there once the clip is measured."""
    clip = _clip(parts, actor, clip_id)
    return _send(request, parts, clip, ClipFiles(clip.id).proxy, "video/mp4", "proxy.mp4", f"proxy {clip.sha256}")


@clip_files.get("/clips/{clip_id}/series", response_class=Response, responses=PARTS)
@clip_files.head("/clips/{clip_id}/series", response_class=Response, include_in_schema=False)
def get_series(clip_id: str, request: Request, actor: Sender, parts: Parts) -> Response:
    """The motion series, NumPy's .npz: times, angles with their standard deviations, joints as shown."""
    clip = _clip(parts, actor, clip_id)
    with parts.database.session() as records:
        made = current_measurement(records, clip).id
    return _send(request, parts, clip, ClipFiles(clip.id).series, "application/octet-stream", "series.npz", made)


@clip_files.get("/clips/{clip_id}/document", response_class=Response)
def get_document(clip_id: str, actor: Sender, parts: Parts) -> Response:
    """The measurement document with its checks and verdicts, JSON (`plumbrep.measurement/1`).

    Coaches get none of a rep or hold that they are still to rule on blindly, nor of its set.
    """
    with parts.database.session() as records:
        clip = fetch(records, Clip, clip_id, actor, "read", "clip")
        require(actor, "read", Resource("result", clip.gym_id, clip.athlete_id, clip.id))
        document = document_for(records, current_measurement(records, clip), actor)
        return Response(document, media_type="application/json")


def _clip(parts: AppParts, actor: Known, clip_id: str) -> Clip:
    with parts.database.session() as records:
        return fetch(records, Clip, clip_id, actor, "read", "clip")


def _send(request: Request, parts: AppParts, clip: Clip, key: str, media_type: str, name: str, state: str) -> Response:
    if clip.files_gone is not None:
        raise Problem("files-gone")
    try:
        return ranges.send(request, parts.store, key, etag(state.encode()), media_type, name)
    except Missing as fault:
        raise Problem("not-ready", "this is made when the clip is measured; its state says how far that is") from fault
