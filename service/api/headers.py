"""What every answer tells the browser: load nothing, frame nothing, guess nothing, keep nothing (ASVS 5.0, 3.4)."""

from typing import Final

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.api.tus import RESUMABLE
from service.settings import Settings

ALWAYS: Final = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "Content-Security-Policy": "default-src 'none'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; sandbox",
}
"""The policy is for what is no page; pages set their own."""
API: Final = {"Cache-Control": "private, no-store"}
UPLOADS: Final = "/api/v1/uploads"
"""Where every answer, errors too, says which version of tus is spoken."""
A_YEAR: Final = "max-age=31536000; includeSubDomains"


class SecurityHeaders:
    """Adds the headers to each answer; a route that says something else of the same name is left alone."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.always = ALWAYS | ({"Strict-Transport-Security": A_YEAR} if settings.secure else {})

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        added = self.always | (API if scope["path"].startswith(("/api/", "/health/", "/metrics")) else {})
        added |= RESUMABLE if scope["path"].startswith(UPLOADS) else {}
        scope["security_headers"] = added  # the answer to a fault of ours is sent from outside every middleware

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in added.items():
                    headers.setdefault(name, value)
            await send(message)

        await self.app(scope, receive, send_with_headers)
