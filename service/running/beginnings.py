"""What the operator makes at the command line, because nobody can sign in yet: a gym, its first owner, an athlete's link."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from models.errors import BadInput
from service.access.actors import OPERATOR
from service.access.audit import audit
from service.access.decide import Resource
from service.access.enrolment import forget_factor
from service.access.entrance import clean_login, set_password
from service.access.factors import NewFactor, begin
from service.access.links import make_link
from service.api.routes.links import LINK_PAGE
from service.records import Factor, Gym, Person, now
from service.records.database import Database
from service.records.migrate import current, require_current, upgrade
from service.settings import Settings

LONGEST = 120
"""Characters of a name."""


class BeginningError(BadInput):
    """What was asked for cannot be made."""


@dataclass(frozen=True)
class Beginnings:
    """Makes what a gym begins with."""

    settings: Settings
    database: Database

    def require_free(self, gym: str, login: str) -> None:
        """Refuse, before a password is asked for, what is there already.

        Raises:
            BeginningError: the gym's name or the login is taken.
        """
        with self.database.session() as session:
            if session.scalar(select(Gym.id).where(Gym.name == gym)) is not None:
                raise BeginningError(f"there is a gym called {gym} already: take another name, or sign in to that one")
            if session.scalar(select(Person.id).where(Person.login == clean_login(login))) is not None:
                raise BeginningError(f"the login {login} is taken: take another")

    def gym(self, name: str, zone: str, login: str, owner: str, password: str) -> None:
        """Make a gym and its first owner.

        Raises:
            BeginningError: a name is empty or too long, or there is no such time zone.
            PasswordError: the password is not good enough.
        """
        with self.database.session() as session:
            made = Gym(name=_named(name, "the gym"), time_zone=_zone(zone))
            session.add(made)
            session.flush()
            login = _named(clean_login(login), "the login")
            first = Person(gym_id=made.id, role="owner", name=_named(owner, "the owner"), login=login)
            session.add(first)
            session.flush()
            set_password(session, first, password)
            audit(session, OPERATOR, "created", Resource("gym", made.id, id=made.id))
            audit(session, OPERATOR, "created", Resource("person", made.id, first.id, first.id), {"role": "owner"})

    def factor(self, gym: str, login: str) -> NewFactor:
        """A new second factor for somebody who signs in with this login, in the place of a lost one; asked for from now on.

        Raises:
            BeginningError: nobody of a gym of this name has this login.
        """
        with self.database.session() as session:
            of_gym = select(Person).join(Gym, Gym.id == Person.gym_id).where(Gym.name == gym)
            person = session.scalar(of_gym.where(Person.login == clean_login(login)))
            if person is None:
                raise BeginningError(f"nobody of {gym} signs in with the login {login}")
            forget_factor(session, OPERATOR, person)
            made = begin(session, person)
            session.get_one(Factor, person.id).confirmed = now()
            audit(session, OPERATOR, "factor set", Resource("session", person.gym_id, person.id, person.id))
            return made

    def athlete(self, gym: str, name: str) -> tuple[str, datetime]:
        """Add an athlete; the address that lets them in, and until when.

        Raises:
            BeginningError: there is no such gym, or more than one, or the name is empty or too long.
        """
        with self.database.session() as session:
            found = session.scalars(select(Gym).where(Gym.name == gym).limit(2)).all()
            if len(found) != 1:
                many = "there are several gyms" if found else "there is no gym"
                raise BeginningError(f"{many} called {gym}: make one with --login, or add athletes on its pages")
            athlete = Person(gym_id=found[0].id, role="athlete", name=_named(name, "the athlete"))
            session.add(athlete)
            session.flush()
            link, token = make_link(session, self.settings, athlete, OPERATOR)
            person = Resource("person", athlete.gym_id, athlete.id, athlete.id)
            audit(session, OPERATOR, "created", person, {"role": "athlete"})
            audit(session, OPERATOR, "created", Resource("link", athlete.gym_id, athlete.id, link.id))
            return f"{self.settings.url}{LINK_PAGE}#{token}", link.expires


@contextmanager
def beginnings(settings: Settings) -> Iterator[Beginnings]:
    """On the database of the settings; its tables are made where it has none yet."""
    if current(settings.database_url) is None:
        upgrade(settings.database_url)
    require_current(settings.database_url)
    database = Database(settings.database_url)
    try:
        yield Beginnings(settings, database)
    finally:
        database.engine.dispose()


def _named(name: str, what: str) -> str:
    name = name.strip()
    if not name or len(name) > LONGEST or not name.isprintable():
        raise BeginningError(f"{what} needs a name of 1 to {LONGEST} characters")
    return name


def _zone(name: str) -> str:
    try:
        return ZoneInfo(name).key
    except (KeyError, ValueError, OSError) as fault:
        raise BeginningError(f"there is no time zone {name}: write it like Europe/Lisbon") from fault
