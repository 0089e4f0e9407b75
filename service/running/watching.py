"""Logs and counts each request, by its route and not by its address, which an identifier or a token may be part of."""

import re
import time
import uuid
from typing import Final

import structlog
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.records.base import ID_LENGTH
from service.running.metrics import REQUESTS, SECONDS

METHODS: Final = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
ID: Final = re.compile(rf"[\w-]{{{ID_LENGTH}}}", re.ASCII)
QUIET: Final = ("/health/", "/metrics", "/static/")
"""Asked for every few seconds, or a dozen at once: logged where details are."""

log = structlog.get_logger(__name__)


class Watched:
    """The outermost layer of the app."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        begun, status = time.monotonic(), 500

        async def send_watched(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        with structlog.contextvars.bound_contextvars(request=uuid.uuid4().hex):
            try:
                await self.app(scope, receive, send_watched)
            finally:
                _tell(scope, status, time.monotonic() - begun)


def _tell(scope: Scope, status: int, seconds: float) -> None:
    method = scope["method"] if scope["method"] in METHODS else "other"
    route = route_of(scope)
    REQUESTS.labels(method, route, str(status)).inc()
    SECONDS.labels(route).observe(seconds)
    say = log.debug if scope["path"].startswith(QUIET) else log.info
    say("request", method=method, route=route, status=status, seconds=round(seconds, 4), **_clip(scope))


def route_of(scope: Scope) -> str:
    """The path with names in the places of what changes; `none` where there is no such route."""
    path: str = scope["path"]
    if (route := scope.get("route")) is not None:
        # A route knows its path without the prefix that its router was given.
        before = path.split("/")[: path.count("/") - route.path.count("/") + 1]
        return "/".join(before) + route.path
    if "endpoint" in scope:  # a folder of files
        return f"/{path.split('/')[1]}/*"
    return "none"


def _clip(scope: Scope) -> dict[str, str]:
    """The clip that was asked for, so that its way through the service can be followed."""
    clip_id = scope.get("path_params", {}).get("clip_id", "")
    return {"clip_id": clip_id} if ID.fullmatch(clip_id) else {}
