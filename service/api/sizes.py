"""How large a request may be: refused by what it says of itself, and else as soon as more has come.

FastAPI can limit bodies too, but answers in plain text and without the headers that every answer has.
"""

import re
from typing import Final

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.problems import Problem, answer
from service.settings import Settings

USUAL: Final = 1 << 20
"""Bytes, where nothing else is said."""
SMALL_CLIP: Final = 64 * 2**20
"""A clip that comes in one piece; larger ones come by /uploads, which survives a lost connection."""
SENSOR_TRACK: Final = 16 * 2**20
TOO_LARGE: Final = "The request is too large."


class BodySizes:
    """Limits what requests bring."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.larger = (
            ("POST", re.compile(r"/api/v1/clips"), SMALL_CLIP),
            ("PATCH", re.compile(r"/api/v1/uploads/[^/]+"), settings.clip_max_mb * 2**20),
            ("PUT", re.compile(r"/api/v1/uploads/[^/]+/sensor"), SENSOR_TRACK),
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        most, come = self._most(scope), 0
        said = Headers(scope=scope).get("content-length", "")
        if said.isdecimal() and int(said[:20]) > most:
            await answer(413, None, TOO_LARGE)(scope, receive, send)
            return

        async def receive_within() -> Message:
            nonlocal come
            message = await receive()
            come += len(message.get("body", b""))
            if come > most:
                raise Problem(413, TOO_LARGE)
            return message

        await self.app(scope, receive_within, send)

    def _most(self, scope: Scope) -> int:
        fitting = (
            most for method, path, most in self.larger if scope["method"] == method and path.fullmatch(scope["path"])
        )
        return next(fitting, USUAL)
