"""What routes ask for: a transaction, who asks, the parts of the app; and the question whether they may."""

from collections.abc import Iterator
from typing import Annotated, Any, TypeVar

from fastapi import Depends, Request
from sqlalchemy.orm import Session as Records

from service.access.actors import Actor as Known
from service.access.browser import cookie, forged
from service.access.decide import Action, Resource, ResourceKind, decide
from service.access.entrance import actor_of_key, actor_of_session
from service.api.problems import Problem
from service.api.state import Parts as AppParts
from service.api.state import parts_of
from service.records import Base
from service.settings import Settings

Parts = Annotated[AppParts, Depends(parts_of)]
Row = TypeVar("Row", bound=Base)


def _records(parts: Parts) -> Iterator[Records]:
    with parts.database.session() as records:
        yield records


Session = Annotated[Records, Depends(_records, scope="function")]
"""One transaction for the whole request. It ends before the answer leaves, so that nobody is told of what was not kept."""


def _actor(request: Request, records: Session, parts: Parts) -> Known:
    """Whoever the key or the session's cookie belongs to.

    Raises:
        Problem: 401 if neither counts, 403 if another site's page sent the cookie.
    """
    actor = who(request, records, parts.settings)
    if actor is None:
        raise Problem(401, "Sign in, or send a key that counts.", headers={"WWW-Authenticate": "Bearer"})
    return actor


Actor = Annotated[Known, Depends(_actor, scope="function")]


def _actor_alone(request: Request, parts: Parts) -> Known:
    with parts.database.session() as records:
        return _actor(request, records, parts)


Sender = Annotated[Known, Depends(_actor_alone)]
"""As `Actor`, but the transaction has ended: for what takes long, like a clip that comes or goes."""


def who(request: Request, records: Records, settings: Settings) -> Known | None:
    """As `_actor`, but None where nobody is known."""
    scheme, _, key = request.headers.get("authorization", "").partition(" ")
    if scheme.lower() == "bearer":
        return actor_of_key(records, key.strip())
    token = session_token(request, settings)
    if token is None:
        return None
    same_site(request, settings)
    return actor_of_session(records, settings, token)


def session_token(request: Request, settings: Settings) -> str | None:
    """The token in the session's cookie."""
    return request.cookies.get(cookie(settings)["key"])


def same_site(request: Request, settings: Settings) -> None:
    """Refuse what another site's page may have sent.

    Raises:
        Problem: it may have.
    """
    if forged(request.method, request.headers, settings):
        raise Problem(403, "This came from another site, or from a program that needs a key of its own.")


def require(actor: Known, action: Action, resource: Resource) -> None:
    """Let through who may.

    Raises:
        Problem: 404 where the actor may not even know that it is there, 403 otherwise.
    """
    if decide(actor, action, resource):
        return
    hidden = resource.id is not None and not decide(actor, "read", resource)
    raise Problem(404 if hidden else 403)


def fetch(records: Records, table: type[Row], row_id: Any, actor: Known, action: Action, kind: ResourceKind) -> Row:
    """One row of the actor's gym, if they may do this to it.

    Raises:
        Problem: as `require`; 404 too where there is none.
    """
    row = records.get(table, row_id)
    if row is None or gym_of(row) != actor.gym_id:
        raise Problem(404)
    require(actor, action, resource_of(row, kind))
    return row


def resource_of(row: Base, kind: ResourceKind) -> Resource:
    """The row as what access is decided on, and as what the record of who did what names."""
    return Resource(kind, gym_of(row), _athlete_of(row), str(getattr(row, "id")))  # noqa: B009 -- each of our tables has it


def gym_of(row: Base) -> str:
    """The gym that a row belongs to."""
    return str(getattr(row, "gym_id"))  # noqa: B009


def _athlete_of(row: Base) -> str | None:
    """Whose row it is: a person's own, or its athlete's."""
    owner = getattr(row, "id" if row.__tablename__ == "person" else "athlete_id", None)
    return None if owner is None else str(owner)
