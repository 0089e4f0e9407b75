"""`Idempotency-Key`: a POST that is sent again, because nobody knows whether it arrived, is done once and answered alike.

The answer is kept in the same transaction as what it tells of, so there is never one without the other. What is shown only
once (a key, a link) is not kept: the answer given again has null in its place.
"""

import json
from dataclasses import dataclass
from hashlib import sha256
from typing import Any, Final

from fastapi import Request
from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session as Records
from starlette.responses import Response

from service.api.deps import Actor, Session
from service.api.problems import Problem
from service.records import Answered

SHOWN_ONCE: Final = frozenset({"token", "address", "secret"})
KEY_LENGTH: Final = 100

PARAMETER: Final[dict[str, Any]] = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": False,
    "schema": {"type": "string", "minLength": 1, "maxLength": KEY_LENGTH},
    "description": "Any text of your own, new for each new request: sent again with the same one, a request is done once.",
    "example": "7c0e4d0e-5d3c-4f0c-9d0e-2f1f0f6a8f11",
}
"""For the OpenAPI document: what each POST of somebody who is let in may bring."""


@dataclass(frozen=True)
class Once:
    """A request that is to be done once."""

    records: Records
    gym_id: str
    actor_id: str
    key: str
    request_sha256: str


class AnsweredBefore(Exception):
    """The request was answered before, and how."""

    def __init__(self, answered: Answered) -> None:
        super().__init__()
        self.status, self.body, self.location = answered.status, answered.body, answered.location


async def once(request: Request, records: Session, actor: Actor) -> None:
    """Look whether this request was answered before; hung on every POST of somebody who is let in.

    Raises:
        AnsweredBefore: it was.
        Problem: the key came with another request, or is no key.
    """
    key = request.headers.get("idempotency-key")
    if request.method != "POST" or key is None or actor.gym_id is None or actor.id is None:
        return
    if not 1 <= len(key) <= KEY_LENGTH:
        raise Problem("invalid", f"Idempotency-Key: has 1 to {KEY_LENGTH} characters")
    body = await request.body()
    asked = f"{request.method} {request.url.path}?{request.url.query}\n".encode() + body
    mine = Once(records, actor.gym_id, actor.id, key, sha256(asked).hexdigest())
    found = _find(mine)
    if found is not None and found.request_sha256 != mine.request_sha256:
        raise Problem("key-reused")
    if found is not None:
        raise AnsweredBefore(found)
    request.state.once = mine


def _find(mine: Once) -> Answered | None:
    return mine.records.scalar(
        select(Answered).where(
            Answered.gym_id == mine.gym_id, Answered.actor_id == mine.actor_id, Answered.key == mine.key
        )
    )


def keep(request: Request, response: Response) -> None:
    """Keep the answer with what it tells of.

    Raises:
        Problem: the same request is being answered at this very moment.
    """
    mine: Once | None = getattr(request.state, "once", None)
    if mine is None or not 200 <= response.status_code < 300:
        return
    row = Answered(
        gym_id=mine.gym_id,
        actor_id=mine.actor_id,
        key=mine.key,
        request_sha256=mine.request_sha256,
        status=response.status_code,
        body=_without_secrets(bytes(response.body)),
        location=response.headers.get("location"),
    )
    mine.records.add(row)
    try:
        mine.records.flush()
    except IntegrityError as fault:
        raise Problem("key-in-use") from fault


def _without_secrets(body: bytes) -> str:
    if not body:
        return ""
    tree = json.loads(body)
    if isinstance(tree, dict):
        tree = {name: None if name in SHOWN_ONCE else value for name, value in tree.items()}
    return json.dumps(tree, ensure_ascii=False, separators=(",", ":"))


async def answer_again(_request: Request, before: Exception) -> Response:
    """The answer that was given before."""
    if not isinstance(before, AnsweredBefore):
        raise before
    headers = {"Idempotency-Replayed": "true"}
    if before.location:
        headers["Location"] = before.location
    return Response(before.body, before.status, headers, "application/json" if before.body else None)
