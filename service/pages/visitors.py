"""Who looks at a page."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request

from service.access.actors import Actor
from service.api.deps import Parts, Session, same_site, who
from service.api.problems import Problem
from service.records import Gym, Person


@dataclass(frozen=True)
class Visitor:
    """Somebody who is signed in."""

    actor: Actor
    name: str
    gym: str

    @property
    def home(self) -> str:
        """The page that they begin with."""
        return "/me" if self.actor.kind == "athlete" else "/review"


def _anyone(request: Request, records: Session, parts: Parts) -> Visitor | None:
    actor = who(request, records, parts.settings)
    if actor is None or actor.person_id is None:
        return None
    person, gym = records.get_one(Person, actor.person_id), records.get_one(Gym, actor.gym_id)
    return Visitor(actor, person.name, gym.name)


Anyone = Annotated[Visitor | None, Depends(_anyone, scope="function")]
"""Whoever comes; None: nobody who is signed in."""


def _signed_in(visitor: Anyone) -> Visitor:
    if visitor is None:
        raise Problem(401)
    return visitor


def _athlete(visitor: Annotated[Visitor, Depends(_signed_in, scope="function")]) -> Visitor:
    if visitor.actor.kind != "athlete":
        raise Problem(403)
    return visitor


def _coach(visitor: Annotated[Visitor, Depends(_signed_in, scope="function")]) -> Visitor:
    if not visitor.actor.rules:
        raise Problem(403)
    return visitor


SignedIn = Annotated[Visitor, Depends(_signed_in, scope="function")]
Athlete = Annotated[Visitor, Depends(_athlete, scope="function")]
"""For the pages under /me. Others are told that the page is not for them; who is not signed in is led to /sign-in."""
Coach = Annotated[Visitor, Depends(_coach, scope="function")]
"""A coach or an owner."""


def _coach_alone(request: Request, parts: Parts) -> Visitor:
    with parts.database.session() as records:
        return _coach(_signed_in(_anyone(request, records, parts)))


CoachAlone = Annotated[Visitor, Depends(_coach_alone)]
"""As `Coach`, but the transaction has ended: for what checks a password, in which time no lock may be held."""


def _own_page(request: Request, parts: Parts) -> None:
    same_site(request, parts.settings)


OwnPage = Depends(_own_page)
"""For routes that take a form without a session: it must come from our own pages. With a session this is asked anyway."""
