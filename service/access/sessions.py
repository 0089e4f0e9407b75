"""Sessions of browsers: a random token in a cookie, its digest here (ASVS 5.0, 7.2.2, 7.2.3).

A coach's ends after two hours without a request and twelve hours in all, as the settings say (7.3.1, 7.3.2). An athlete's lasts
as long as the link it came from: the link stands in their messages anyway, so that an earlier end would protect nothing. Any
number may be open at once; a person sees and ends them.
"""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from sqlalchemy import or_, select, update
from sqlalchemy.orm import Session

from service.access.actors import Actor
from service.access.tokens import digest, new_token
from service.records import entrance as rows
from service.records.base import new_id, now
from service.records.gyms import Person
from service.settings import Settings

SEEN_SHARE = 20
"""The time of the last request is written after a twentieth of the idle time, not with each one."""


@dataclass(frozen=True)
class Entered:
    """Somebody has come in: the token for their cookie, shown this once."""

    token: str = field(repr=False)
    actor: Actor
    expires: datetime


def start(
    session: Session, settings: Settings, person: Person, link: rows.Link | None = None, replacing: str | None = None
) -> Entered:
    """Start a session with a new token, and end the one that the browser came with (ASVS 5.0, 7.2.4)."""
    if replacing is not None:
        end(session, replacing)
    token = new_token()
    expires = now() + timedelta(hours=settings.session_hours) if link is None else link.expires
    row = rows.Session(
        id=new_id(), gym_id=person.gym_id, person_id=person.id, link_id=link and link.id, digest=digest(token),
        expires=expires,
    )  # fmt: skip
    session.add(row)
    return Entered(token, _actor(person, row), expires)


def actor_of_session(session: Session, settings: Settings, token: str) -> Actor | None:
    """Who a session's token belongs to; None where it has ended, by whatever way.

    Whether the person still belongs to the gym and the link still counts is asked each time: ending either ends it at once.
    """
    moment, idle = now(), timedelta(minutes=settings.session_idle_minutes)
    found = session.execute(
        select(rows.Session, Person)
        .join(Person, Person.id == rows.Session.person_id)
        .outerjoin(rows.Link, rows.Link.id == rows.Session.link_id)
        .where(
            rows.Session.digest == digest(token),
            rows.Session.ended.is_(None),
            rows.Session.expires > moment,
            or_(rows.Session.link_id.is_not(None), rows.Session.last_seen > moment - idle),
            Person.ended.is_(None),
            rows.Link.revoked.is_(None),
        )
    ).first()
    if found is None:
        return None
    row, person = found
    if moment - row.last_seen > idle / SEEN_SHARE:
        row.last_seen = moment
    return _actor(person, row)


def _actor(person: Person, row: rows.Session) -> Actor:
    return Actor(person.role, person.gym_id, person_id=person.id, session_id=row.id)


def end(session: Session, token: str) -> None:
    """End the session of this token, if it has one."""
    _end(session, rows.Session.digest == digest(token))


def end_one(session: Session, session_id: str) -> None:
    """End one session."""
    _end(session, rows.Session.id == session_id)


def end_all(session: Session, person_id: str) -> None:
    """End every session of a person."""
    _end(session, rows.Session.person_id == person_id)


def _end(session: Session, which: object) -> None:
    session.flush()
    session.execute(
        update(rows.Session).where(which, rows.Session.ended.is_(None)).values(ended=now())  # type: ignore[arg-type]
    )
