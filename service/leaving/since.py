"""What happened since a backup was made that a restored one must not undo: deletions, revocations, withdrawals."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import delete, select, update
from sqlalchemy.orm import Session

from service.leaving.deleting import forget_mentions
from service.records import Beat, Clip, Consent, Deleted, Gym, Key, Link, Person, Ruling, Upload
from service.records import Session as SignedIn
from service.records.changing import begin_history, next_change
from service.records.ruling import remove

_ENDS: Final[tuple[tuple[type[Any], str], ...]] = (
    (Link, "revoked"),
    (Key, "revoked"),
    (Consent, "withdrawn"),
    (Person, "ended"),
)
"""Columns that say when something ended."""
_TABLES: Final[Mapping[str, type[Any]]] = {"clip": Clip, "person": Person, "gym": Gym, "ruling": Ruling}
"""Whose rows a tombstone can tell of."""


@dataclass(frozen=True)
class Since:
    """What records in use tell; empty where there are none."""

    deleted: tuple[Deleted, ...]
    ended: tuple[tuple[int, str, datetime], ...]
    """Which of the columns above, the row's identifier, when."""


def read_since(session: Session) -> Since:
    """Read it from the records that are to be replaced."""
    deleted = tuple(session.scalars(select(Deleted)))
    session.expunge_all()
    ended = [
        (n, *row)
        for n, (table, column) in enumerate(_ENDS)
        for row in session.execute(select(table.id, getattr(table, column)).where(getattr(table, column).is_not(None)))
    ]
    return Since(deleted, tuple(ended))


def as_of_now(session: Session, since: Since) -> int:
    """Bring restored records up to now; how many things were deleted again.

    Browsers must sign in anew, and uploads start anew: their files are in no backup.
    """
    known = set(session.scalars(select(Deleted.id)))
    again = sum(_delete_again(session, tombstone) for tombstone in since.deleted if tombstone.id not in known)
    for n, row_id, moment in since.ended:
        table, column = _ENDS[n]
        where = table.id == row_id, getattr(table, column).is_(None)
        session.execute(update(table).where(*where).values({column: moment}))
    for passing in (SignedIn, Upload, Beat):
        session.execute(delete(passing))
    session.expire_all()
    begin_history(session)
    return again


def _delete_again(session: Session, tombstone: Deleted) -> bool:
    """Delete what the tombstone names, and take it over; whether there was anything."""
    table = _TABLES.get(tombstone.resource)
    found = None if table is None else session.get(table, tombstone.resource_id)
    changed = _change(session, tombstone.gym_id)
    if isinstance(found, Ruling):
        remove(session, found, changed or 0)
    elif table is not None and found is not None:
        clips = select(Clip.id).where(Clip.athlete_id == tombstone.resource_id)
        forget_mentions(session, [tombstone.resource_id, *session.scalars(clips)])
        session.execute(delete(table).where(table.id == tombstone.resource_id))
    session.add(
        Deleted(
            id=tombstone.id,
            gym_id=tombstone.gym_id,
            changed=changed,
            resource=tombstone.resource,
            resource_id=tombstone.resource_id,
            made=tombstone.made,
        )
    )
    return found is not None


def _change(session: Session, gym_id: str | None) -> int | None:
    there = gym_id is not None and session.scalar(select(Gym.id).where(Gym.id == gym_id)) is not None
    return next_change(session, gym_id) if gym_id is not None and there else None
