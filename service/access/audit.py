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
    "guardian", "json", "csv", "clip.measured", "clip.refused", "effort.ruled", "effort.corrected", "clip.deleted",
    "name", "login", "role", "height_cm", "mass_kg", "sex", "born", "ended", "text", "active", "keep_clips_days",
}  # fmt: skip
"""Every word that a detail may hold; the last row names what was changed, never what it was changed to."""

_OURS = re.compile(r"[a-z][a-z0-9_. ]{0,39}")
"""What actions and the keys of details look like; the code spells them out, so that they need no list."""
_ID = re.compile(rf"[\w-]{{{ID_LENGTH}}}")


def audit(session: Session, actor: Actor | None, action: str, resource: Resource, detail: Detail | None = None) -> None:
    """Record it, in the same transaction as what was done.

    Args:
        session: where it is done.
        actor: who did it; None: nobody who has been let in.
        action: what was done, a word or two in lower case: `signed in`, `created`, `rotated`.
        resource: what it was done to.
        detail: what else a reader needs.

    Raises:
        ValueError: the action or the detail could be a name or a secret; a fault of ours.
    """
    detail = detail or {}
    ours = all(_OURS.fullmatch(word) for word in (action, *detail))
    if not ours or not all(_is_plain(value) for value in _values(detail)):
        raise ValueError("an audit record holds numbers, identifiers and the words of its list, nothing else")
    session.add(
        Audit(
            gym_id=resource.gym_id,
            actor=actor.kind if actor else "nobody",
            actor_id=actor and actor.id,
            action=action,
            resource=resource.kind,
            resource_id=resource.id,
            detail={key: _stored(value) for key, value in detail.items()} or None,
        )
    )


def _is_plain(value: Plain) -> bool:
    return not isinstance(value, str) or value in WORDS or _ID.fullmatch(value) is not None


def _values(detail: Detail) -> list[Plain]:
    values: list[Plain] = []
    for value in detail.values():
        values.extend([value] if isinstance(value, str) or not isinstance(value, Sequence) else value)
    return values


def _stored(value: Plain | Sequence[Plain]) -> object:
    if isinstance(value, datetime):
        return value.isoformat()
    return value if isinstance(value, str) or not isinstance(value, Sequence) else list(value)
