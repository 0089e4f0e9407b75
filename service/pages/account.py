"""One's own account, for coaches and owners: the password and the second factor."""

from typing import Annotated, Literal

from fastapi import Form, Query, Request
from pydantic import SecretStr
from starlette.responses import Response

from models.errors import BadInput
from service.access.enrolment import begin_factor, confirm_factor, end_factor
from service.access.entrance import change_password
from service.access.factors import NewFactor, confirmed
from service.api.deps import Parts
from service.api.state import Parts as AppParts
from service.pages.admitting import let_in, let_wait
from service.pages.page import page_router, render
from service.pages.visitors import CoachAlone, Visitor
from service.records import Person

account = page_router()

Password = Annotated[SecretStr, Form(max_length=1000)]
Code = Annotated[str, Form(max_length=20)]
Section = Literal["password", "begin", "confirm", "on"]
Done = Literal["", "password", "on", "off"]


@account.get("/account")
def own(request: Request, visitor: CoachAlone, parts: Parts, done: Annotated[Done, Query()] = "") -> Response:
    """The password, and the second factor as it stands."""
    return _page(request, visitor, parts, done=done)


@account.post("/account/password")
def renew_password(
    request: Request, visitor: CoachAlone, parts: Parts, current: Password, password: Password
) -> Response:
    """Change the password."""
    words = current.get_secret_value(), password.get_secret_value()
    try:
        entered = change_password(parts.database, parts.settings, visitor.actor, *words)
    except BadInput as fault:
        return _page(request, visitor, parts, "password", fault)
    return let_in(entered, parts, "/account?done=password")


@account.post("/account/factor")
def begin(request: Request, visitor: CoachAlone, parts: Parts, password: Password) -> Response:
    """Begin a second factor, and show this once what the app takes."""
    try:
        begun = begin_factor(parts.database, visitor.actor, password.get_secret_value())
    except BadInput as fault:
        return _page(request, visitor, parts, "begin", fault)
    return _page(request, visitor, parts, "confirm", begun=begun)


@account.post("/account/factor/confirm")
def confirm(request: Request, visitor: CoachAlone, parts: Parts, code: Code) -> Response:
    """Ask for it from now on, if the first code is right."""
    try:
        entered = confirm_factor(parts.database, parts.settings, visitor.actor, code)
    except BadInput as fault:
        return _page(request, visitor, parts, "confirm", fault)
    return let_in(entered, parts, "/account?done=on")


@account.post("/account/factor/end")
def end(request: Request, visitor: CoachAlone, parts: Parts, password: Password, code: Code) -> Response:
    """Do without it from now on."""
    try:
        entered = end_factor(parts.database, parts.settings, visitor.actor, password.get_secret_value(), code)
    except BadInput as fault:
        return _page(request, visitor, parts, "on", fault)
    return let_in(entered, parts, "/account?done=off")


def _page(
    request: Request,
    visitor: Visitor,
    parts: AppParts,
    section: Section | None = None,
    fault: BadInput | None = None,
    *,
    begun: NewFactor | None = None,
    done: Done = "",
) -> Response:
    """The page; with the part that was asked for, and what is wrong there."""
    with parts.database.session() as records:
        person = records.get_one(Person, visitor.actor.person_id)
        has = confirmed(records, person.id) is not None
    page = render(
        request,
        "common/account.html",
        visitor,
        status=200 if fault is None else 422,
        login=person.login,
        factor="on" if has else "confirm" if section == "confirm" else "begin",
        needed=parts.settings.second_factor,
        section=section,
        reason=str(fault) if fault else None,
        begun=begun,
        key=_in_fours(begun.secret) if begun else "",
        done=done,
    )
    return page if fault is None else let_wait(page, fault)


def _in_fours(secret: str) -> str:
    """A key as people type it."""
    return " ".join(secret[at : at + 4] for at in range(0, len(secret), 4))
