"""Links: how an athlete comes in, and how a coach sets a password for the first time.

An athlete's link lets them in, to what is theirs, until it expires or is revoked; on each device the first visit swaps it for
a session, so that the token does not stay in the address bar. A coach's link lets nobody in: it sets a password, once, within
a day (ASVS 5.0, 6.4.1, 6.4.3, 6.4.6: whoever makes it never knows the password).
"""

from datetime import timedelta

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from service.access import limits
from service.access.actors import Actor
from service.access.errors import NotLetIn, QuotaSpent
from service.access.limits import Limit
from service.access.sessions import Entered, start
from service.access.tokens import digest, new_token
from service.records import entrance as rows
from service.records.base import new_id, now
from service.records.gyms import Person
from service.settings import Settings

INVITED_FOR = timedelta(days=1)
DAY = timedelta(days=1)
CLIPS_A_DAY = 40


def make_link(
    session: Session,
    settings: Settings,
    person: Person,
    by: Actor,
    *,
    days: int | None = None,
    clips_a_day: int = CLIPS_A_DAY,
) -> tuple[rows.Link, str]:
    """A link for a person of the actor's gym, and its token, shown this once.

    Args:
        session: where it is kept.
        settings: how long an athlete's link lasts where it is not said.
        person: who it is for. An athlete comes in by it; a coach or an owner sets a password by it.
        by: who makes it.
        days: how long it lasts, for an athlete.
        clips_a_day: how many clips a day are taken from the athlete.
    """
    token = new_token()
    lasts = timedelta(days=days or settings.link_days) if person.role == "athlete" else INVITED_FOR
    link = rows.Link(
        id=new_id(), gym_id=person.gym_id, athlete_id=person.id, digest=digest(token), expires=now() + lasts,
        clips_a_day=clips_a_day, created_by=by.person_id,
    )  # fmt: skip
    session.add(link)
    session.flush()
    return link, token


def revoke_link(session: Session, link: rows.Link) -> None:
    """Let nobody in by it any more, and whoever came by it out at once."""
    link.revoked = link.revoked or now()
    session.flush()


def revoke_links(session: Session, person_id: str) -> None:
    """Revoke every link of a person."""
    session.execute(
        update(rows.Link).where(rows.Link.athlete_id == person_id, rows.Link.revoked.is_(None)).values(revoked=now())
    )


def open_link(session: Session, settings: Settings, token: str, replacing: str | None = None) -> Entered:
    """Swap an athlete's link for a session.

    Raises:
        NotLetIn: no such link, or it has expired, was revoked, or is no athlete's. Which of them is not said.
    """
    link, person = _counting(session, token)
    if person.role != "athlete":
        raise _no_such_link()
    return start(session, settings, person, link, replacing)


def invited(session: Session, token: str) -> tuple[rows.Link, Person]:
    """The link by which a coach or an owner sets a password, and the person.

    Raises:
        NotLetIn: no such link, or it has expired, was used or revoked, or is an athlete's.
    """
    link, person = _counting(session, token)
    if person.role == "athlete":
        raise _no_such_link()
    return link, person


def _counting(session: Session, token: str) -> tuple[rows.Link, Person]:
    found = session.execute(
        select(rows.Link, Person)
        .join(Person, Person.id == rows.Link.athlete_id)
        .where(
            rows.Link.digest == digest(token),
            rows.Link.revoked.is_(None),
            rows.Link.expires > now(),
            Person.ended.is_(None),
        )
    ).first()
    if found is None:
        raise _no_such_link()
    return found[0], found[1]


def _no_such_link() -> NotLetIn:
    return NotLetIn("this link does not count, or no longer; ask your coach for a new one")


def spend_clip(session: Session, actor: Actor) -> None:
    """Count one clip towards the day's, in the transaction in which it arrives.

    Only an athlete who came by a link has a quota (ASVS 5.0, 5.2.4); deleting a clip gives nothing back.

    Raises:
        QuotaSpent: the day's clips have been sent.
    """
    quota = _quota(session, actor)
    if quota is not None and (wait := limits.count(session, f"clips {actor.person_id}", quota)):
        raise QuotaSpent(quota.most, wait)


def clips_left(session: Session, actor: Actor) -> int | None:
    """How many clips are still taken today; None: no quota. For refusing an upload before it starts."""
    quota = _quota(session, actor)
    return None if quota is None else limits.left(session, f"clips {actor.person_id}", quota)


def _quota(session: Session, actor: Actor) -> Limit | None:
    if actor.kind != "athlete":
        return None
    most = session.scalar(
        select(rows.Link.clips_a_day)
        .join(rows.Session, rows.Session.link_id == rows.Link.id)
        .where(rows.Session.id == actor.session_id)
    )
    return Limit(CLIPS_A_DAY if most is None else most, DAY)
