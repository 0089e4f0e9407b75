"""What the session's cookie is like, and whether a request comes from our own pages."""

from collections.abc import Mapping
from typing import Literal, TypedDict
from urllib.parse import urlsplit

from service.settings import Settings

SAFE = frozenset({"GET", "HEAD", "OPTIONS", "TRACE"})
"""Methods that change nothing."""


class CookieLook(TypedDict):
    """How a cookie is set and deleted; the words are those of Starlette's `set_cookie`."""

    key: str
    path: str
    secure: bool
    httponly: bool
    samesite: Literal["lax"]


def cookie(settings: Settings) -> CookieLook:
    """The session's cookie, for this host alone and out of reach of scripts (ASVS 5.0, 3.3.1 to 3.3.4).

    `__Host-` makes browsers refuse it without TLS, so that plain HTTP, which only this machine itself may speak, goes without.
    `lax`: a link in a message opens the page signed in; what changes something is told apart by `forged`.
    """
    name = "__Host-plumbrep" if settings.secure else "plumbrep"
    return CookieLook(key=name, path="/", secure=settings.secure, httponly=True, samesite="lax")


def forged(method: str, headers: Mapping[str, str], settings: Settings) -> bool:
    """Whether a request may have been sent by another site's page in the name of whoever is signed in (ASVS 5.0, 3.5.1).

    To be asked of everything that comes with a session's cookie or is answered with one. Every browser in use tells the origin of
    a request that changes something; one that tells nothing is refused, and a program has a key instead.

    Args:
        method: of the request.
        headers: of the request, by names in lower case.
        settings: how the service is reached.
    """
    if method in SAFE:
        return False
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site != "same-origin"
    origin = headers.get("origin")
    host = headers.get("host")
    here = {settings.url, f"{urlsplit(settings.url).scheme}://{host}" if host else settings.url}
    return origin not in here
