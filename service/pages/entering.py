"""Coming in and going out: a coach by password, an athlete by the link that the coach sent."""

from typing import Annotated
from urllib.parse import urlsplit

from fastapi import Form, Request
from fastapi.responses import RedirectResponse
from pydantic import SecretStr
from starlette.responses import Response

from service.access.browser import cookie
from service.access.entrance import sign_in, sign_out
from service.access.errors import NotLetIn
from service.api.deps import Parts, Session, session_token
from service.pages.admitting import let_in, let_wait
from service.pages.page import page_router, render
from service.pages.visitors import Anyone, OwnPage, SignedIn

entering = page_router()

NO_PASSWORD = SecretStr("")


@entering.get("/")
def first_page(visitor: Anyone) -> Response:
    """Where everybody begins."""
    return RedirectResponse(visitor.home if visitor else "/sign-in", 303)


@entering.get("/sign-in")
def ask_password(request: Request, visitor: Anyone, next: str = "", out: bool = False) -> Response:  # noqa: A002 -- in the address
    """The form for login and password."""
    if visitor is not None:
        return RedirectResponse(visitor.home, 303)
    return render(request, "common/sign_in.html", next=_own(next), signed_out=out, login="", reason=None)


@entering.post("/sign-in", dependencies=[OwnPage])
def take_password(
    request: Request,
    parts: Parts,
    login: Annotated[str, Form(max_length=200)] = "",
    password: Annotated[SecretStr, Form(max_length=1000)] = NO_PASSWORD,
    code: Annotated[str, Form(max_length=20)] = "",
    next: Annotated[str, Form(max_length=2000)] = "",  # noqa: A002
) -> Response:
    """Sign in, and go on to the page that was asked for."""
    old, address = session_token(request, parts.settings), request.client.host if request.client else "unknown"
    try:
        entered = sign_in(parts.database, parts.settings, login, password.get_secret_value(), address, old, code)
    except NotLetIn as fault:
        page = render(
            request,
            "common/sign_in.html",
            status=401,
            next=_own(next),
            signed_out=False,
            login=login,
            reason=str(fault),
        )
        return let_wait(page, fault)
    return let_in(entered, parts, _own(next) or "/")


@entering.post("/sign-out")
def leave(records: Session, visitor: SignedIn, parts: Parts) -> Response:
    """Sign out."""
    sign_out(records, visitor.actor)
    response = RedirectResponse("/sign-in?out=1", 303, headers={"Cache-Control": "no-store"})
    response.delete_cookie(**cookie(parts.settings))
    return response


@entering.get("/in")
def open_link(request: Request) -> Response:
    """Where an athlete's link leads: its script swaps the token for a session, and goes on to /me."""
    return render(request, "common/in.html")


@entering.get("/invited")
def invited(request: Request, parts: Parts) -> Response:
    """Where a coach's invitation leads; where a second factor must be had, to setting it up, or they could not come again."""
    return render(request, "common/invited.html", then="/account" if parts.settings.second_factor else "/review")


@entering.get("/offline")
def offline(request: Request) -> Response:
    """What a browser shows from its cache where there is no network."""
    return render(request, "common/offline.html")


def _own(address: str) -> str:
    """The address of a page of ours, or nothing: signing in must not lead elsewhere (ASVS 5.0, 3.7.2)."""
    if not address.startswith("/") or not address.isprintable():
        return ""
    parts = urlsplit(address.replace("\\", "/"))  # browsers take one for the other
    return "" if parts.scheme or parts.netloc or parts.path.startswith("//") else address
