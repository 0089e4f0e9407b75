"""Invitations: how a coach or an owner sets a password, for the first time or after forgetting it.

An invitation lets nobody in: it sets a password, once, within a day. Whoever makes it never knows the password (ASVS 5.0, 6.4.1,
6.4.3, 6.4.6). It is kept among the links.
"""

from datetime import timedelta

from sqlalchemy.orm import Session

from service.access.actors import Actor
from service.access.links import add_link, counting_link, revoke_links
from service.records import entrance as rows
from service.records.gyms import Person

LASTS = timedelta(days=1)


def invite(session: Session, person: Person, by: Actor) -> tuple[rows.Link, str]:
    """An invitation, and its token, shown this once; an earlier one of this person counts no more.

    Raises:
        ValueError: it is for an athlete, or the person has no login yet; a fault of ours.
    """
    if person.role == "athlete" or person.login is None:
        raise ValueError("invitations are for coaches and owners who have a login")
    revoke_links(session, person.id)
    return add_link(session, person, by, LASTS)


def invited(session: Session, token: str) -> tuple[rows.Link, Person]:
    """The invitation of a token, and whose it is.

    Raises:
        NotLetIn: there is none, or it has expired, was used or revoked.
    """
    return counting_link(session, token, "coach", "owner")
