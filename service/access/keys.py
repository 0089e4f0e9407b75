"""Keys of programs: `pbk_<prefix>_<secret>`.

The prefix finds the row and may be shown; the secret has 256 random bits, and only the digest of the whole key is kept. What
begins with `pbk_` can be found by scanners for leaked secrets.
"""

import hmac
import re
import secrets
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import cast

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from service.access.actors import SCOPES, Actor, Scope
from service.access.errors import KeyRequestError
from service.access.tokens import digest, new_token
from service.records import entrance as rows
from service.records.base import new_id, now

OVERLAP = timedelta(days=1)
"""How long the old key still counts after a rotation, so that a program can be given the new one without a gap."""
_FORM = re.compile(r"pbk_(?P<prefix>[0-9a-f]{12})_[\w-]{43}", re.ASCII)
USED_EVERY = timedelta(minutes=1)
"""How often the time of the last use is written."""


def make_key(
    session: Session, gym_id: str, name: str, scopes: Iterable[str], expires: datetime | None = None
) -> tuple[rows.Key, str]:
    """A key for a gym's program, and its text, shown this once.

    Raises:
        KeyRequestError: no scope, an unknown one, or an end that lies in the past.
    """
    asked = frozenset(scopes)
    if not asked or not asked <= SCOPES:
        raise KeyRequestError(f"a key needs scopes out of {', '.join(sorted(SCOPES))}")
    if expires is not None and expires <= now():
        raise KeyRequestError("a key must end in the future, or not at all")
    prefix = secrets.token_hex(6)
    text = f"pbk_{prefix}_{new_token()}"
    key = rows.Key(
        id=new_id(), gym_id=gym_id, name=name, prefix=prefix, digest=digest(text), scopes=sorted(asked), expires=expires
    )
    session.add(key)
    session.flush()
    return key, text


def actor_of_key(session: Session, text: str) -> Actor | None:
    """The program that a key belongs to; None where it does not count."""
    moment = now()
    parts = _FORM.fullmatch(text)
    if parts is None:
        return None
    row = session.scalar(
        select(rows.Key).where(
            rows.Key.prefix == parts["prefix"],
            rows.Key.revoked.is_(None),
            or_(rows.Key.expires.is_(None), rows.Key.expires > moment),
        )
    )
    if row is None or not hmac.compare_digest(row.digest, digest(text)):
        return None
    if row.last_used is None or moment - row.last_used > USED_EVERY:
        row.last_used = moment
    return Actor("program", row.gym_id, key_id=row.id, scopes=frozenset(cast("list[Scope]", row.scopes)))


def rotate_key(session: Session, key: rows.Key, overlap: timedelta = OVERLAP) -> tuple[rows.Key, str]:
    """A new key with the same name, scopes and end; the old one counts for the overlap only.

    Raises:
        KeyRequestError: the old one no longer counts.
    """
    moment = now()
    if key.revoked is not None or (key.expires is not None and key.expires <= moment):
        raise KeyRequestError("this key no longer counts; make a new one")
    made = make_key(session, key.gym_id, key.name, key.scopes, key.expires)
    ends = moment + overlap
    key.expires = ends if key.expires is None else min(key.expires, ends)
    session.flush()
    return made


def revoke_key(session: Session, key: rows.Key) -> None:
    """Let it count no more, at once."""
    key.revoked = key.revoked or now()
    session.flush()
