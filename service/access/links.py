"""Links: how an athlete comes in.

A link lets one athlete in, to what is theirs, until it expires or is revoked. On each device the first visit swaps it for a
session, so that the token does not stay in the address bar.
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
from service.records.gyms import Person, Role
from service.settings import Settings

DAY = timedelta(days=1)
CLIPS_A_DAY = 40


def make_link(
    session: Session,
    settings: Settings,
    athlete: Person,
    by: Actor,
    *,
    days: int | None = None,
    clips_a_day: int = CLIPS_A_DAY,
) -> tuple[rows.Link, str]:
    """A link for an athlete, and its token, shown this once.

    Args:
        session: where it is kept.
        settings: how long a link lasts where it is not said.
        athlete: who comes in by it.
        by: who makes it.
        days: how long it lasts.
        clips_a_day: how many clips a day are taken from the athlete.

    Raises:
        ValueError: it is for a coach or an owner, who have more to lose than a link can guard; a fault of ours.
    """
    if athlete.role != "athlete":
        raise ValueError("links are for athletes; coaches and owners are invited")
    return add_link(session, athlete, by, timedelta(days=days or settings.link_days), clips_a_day)


def add_link(
    session: Session, person: Person, by: Actor, lasts: timedelta, clips_a_day: int = 0
) -> tuple[rows.Link, str]:
    """The row of a link, and its token."""
    token = new_token()
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
    link, athlete = counting_link(session, token, "athlete")
    return start(session, settings, athlete, link, replacing)


def counting_link(session: Session, token: str, *roles: Role) -> tuple[rows.Link, Person]:
    """The link of a token, where it counts, and whose it is.

    Raises:
        NotLetIn: it does not, or is not for a person of these roles.
    """
    found = session.execute(
        select(rows.Link, Person)
        .join(Person, Person.id == rows.Link.athlete_id)
        .where(
            rows.Link.digest == digest(token),
            rows.Link.revoked.is_(None),
            rows.Link.expires > now(),
            Person.ended.is_(None),
            Person.role.in_(roles),
        )
    ).first()
    if found is None:
        raise NotLetIn("this link does not count, or no longer; ask for a new one")
    return found[0], found[1]


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
