"""Answers only under the service's own name: a foreign Host header would end up in links, or rebind a name to this machine."""

from typing import Final
from urllib.parse import urlsplit

from starlette.types import ASGIApp, Receive, Scope, Send

from service.api.problems import answer
from service.settings import Settings

LOCAL: Final = frozenset({"127.0.0.1", "localhost", "[::1]"})


class KnownHosts:
    """Refuses requests for another host. A health check that names no host gets through."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        own = urlsplit(settings.url).hostname or ""
        self.known = LOCAL | {f"[{own}]" if ":" in own else own, settings.host}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "http" and not self._is_known(scope):
            response = answer(421, None, "This service does not answer under that name.")
            await response(scope, receive, send)
            return
        await self.app(scope, receive, send)

    def _is_known(self, scope: Scope) -> bool:
        host = next((value.decode("latin-1") for name, value in scope["headers"] if name == b"host"), "")
        name = host if host.endswith("]") else host.rpartition(":")[0] or host
        return name.lower() in self.known or (not host and scope["path"].startswith("/health/"))
