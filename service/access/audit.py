"""The record of who did what to what. It never holds a name, a text that somebody wrote, or a secret.

That is kept by what a detail can be: a number, a yes or no, an identifier, or a word of the list below.
"""

import re
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import get_args

from sqlalchemy.orm import Session

from service.access.actors import SCOPES, Actor
from service.access.decide import Action, Resource
from service.records.base import ID_LENGTH
from service.records.gyms import Role
from service.records.review import RulingWord
from service.records.running import Audit

Plain = str | int | float | bool | datetime | None
Detail = Mapping[str, Plain | Sequence[Plain]]

WORDS = SCOPES | {
    *get_args(Action), *get_args(Role), *get_args(RulingWord),
    "signed in", "signed out", "wrong password", "password set", "invited", "link opened", "sessions ended",
    "created", "changed", "rotated", "revoked", "cleared", "withdrawn", "measured again", "exported", "kept until",
    "athlete", "guardian", "clip.measured", "clip.refused", "effort.ruled", "clip.deleted",
    "name", "login", "role", "height_cm", "mass_kg", "sex", "born", "ended", "text", "active", "keep_clips_days",
}  # fmt: skip
"""Every word that a detail may hold; the last row names what was changed, never what it was changed to."""

_ID = re.compile(rf"[\w-]{{{ID_LENGTH}}}")


def audit(session: Session, actor: Actor | None, action: str, resource: Resource, detail: Detail | None = None) -> None:
    """Record it, in the same transaction as what was done.

    Args:
        session: where it is done.
        actor: who did it; None: nobody who has been let in.
        action: one word or two, of `WORDS`.
        resource: what it was done to.
        detail: what else a reader needs.

    Raises:
        ValueError: the action or the detail could be a name or a secret; a fault of ours.
    """
    for value in (action, *_values(detail or {})):
        if isinstance(value, str) and value not in WORDS and not _ID.fullmatch(value):
            raise ValueError("an audit record holds numbers, identifiers and the words of its list, nothing else")
    session.add(
        Audit(
            gym_id=resource.gym_id,
            actor=actor.kind if actor else "nobody",
            actor_id=actor and actor.id,
            action=action,
            resource=resource.kind,
            resource_id=resource.id,
            detail=None if detail is None else {key: _stored(value) for key, value in detail.items()},
        )
    )


def _values(detail: Detail) -> list[Plain]:
    values: list[Plain] = list(detail)
    for value in detail.values():
        values.extend([value] if isinstance(value, str) or not isinstance(value, Sequence) else value)
    return values


def _stored(value: Plain | Sequence[Plain]) -> object:
    if isinstance(value, datetime):
        return value.isoformat()
    return value if isinstance(value, str) or not isinstance(value, Sequence) else list(value)
