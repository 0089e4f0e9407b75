"""How far a clip is, told as it goes (server-sent events)."""

import asyncio
import time
from collections.abc import AsyncIterator
from typing import Annotated, Final

from fastapi import Depends
from fastapi.concurrency import run_in_threadpool
from fastapi.sse import EventSourceResponse, ServerSentEvent

from service.api.deps import Parts, Sender, fetch
from service.api.route import router
from service.api.shapes.clips import Progress
from service.api.state import Parts as AppParts
from service.records import Clip

progress = router("clips")

EVERY: Final = 0.5
"""Seconds between two looks."""
AT_MOST: Final = 600.0
"""Seconds that one connection lasts; a browser comes again by itself."""
FINAL: Final = frozenset({"measured", "refused", "failed"})


def _watched(clip_id: str, actor: Sender, parts: Parts) -> str:
    """The clip, if the actor may see it; asked before the answer begins."""
    with parts.database.session() as records:
        return fetch(records, Clip, clip_id, actor, "read", "clip").id


@progress.get("/clips/{clip_id}/events", response_class=EventSourceResponse)
async def watch_clip(watched: Annotated[str, Depends(_watched)], parts: Parts) -> AsyncIterator[ServerSentEvent]:
    """Events `progress` with state, stage and progress, at once and at every change; `end` with the final state is the last.

    Whoever loses the connection comes again and is told the present state. Comments keep the connection open.
    """
    told: Progress | None = None
    until = time.monotonic() + AT_MOST
    while time.monotonic() < until and not parts.stopping.is_set():
        now = await run_in_threadpool(_progress, parts, watched)
        if now is None or now.state in FINAL:
            yield ServerSentEvent(event="end", data=now)
            return
        if now != told:
            yield ServerSentEvent(event="progress", data=now, retry=2000)
        told = now
        await asyncio.sleep(EVERY)


def _progress(parts: AppParts, clip_id: str) -> Progress | None:
    """None: it was deleted."""
    with parts.database.session() as records:
        clip = records.get(Clip, clip_id)
        return None if clip is None else Progress.model_validate(clip)
