"""Setting up one's own second factor, and losing it again."""

from sqlalchemy.orm import Session

from service.access import factors, limits
from service.access.actors import Actor
from service.access.audit import audit
from service.access.entrance import FROM_HERE, own_password, resource_of_session
from service.access.errors import FactorError, NotLetIn
from service.access.sessions import Entered, end_all, start
from service.records.database import Database
from service.records.gyms import Person
from service.settings import Settings


def begin_factor(database: Database, actor: Actor, password: str) -> factors.NewFactor:
    """Begin a second factor of one's own; the password is asked for again (ASVS 5.0, 7.5.1).

    Raises:
        TooManyTries: with a wrong password.
        NotLetIn: the password is wrong.
        FactorError: there is one already.
    """
    own_password(database, actor, password)
    with database.session() as session:
        person = session.get_one(Person, actor.person_id)
        audit(session, actor, "factor begun", resource_of_session(person))
        return factors.begin(session, person)


def confirm_factor(database: Database, settings: Settings, actor: Actor, code: str) -> Entered:
    """Ask for one's own second factor from now on; every session ends, and this browser gets a new one (ASVS 5.0, 7.4.3).

    Raises:
        TooManyTries: with wrong codes.
        FactorError: the code is wrong, or none was begun.
    """
    with limits.one_try(database, f"code {actor.person_id}", FROM_HERE), database.session() as session:
        person = session.get_one(Person, actor.person_id)
        factors.confirm(session, person.id, code)
        end_all(session, person.id)
        audit(session, actor, "factor set", resource_of_session(person))
        return start(session, settings, person)


def end_factor(database: Database, settings: Settings, actor: Actor, password: str, code: str) -> Entered:
    """Do without one's own second factor from now on; both are asked for again, and every other session ends (ASVS 5.0, 7.5.1).

    Raises:
        TooManyTries: with wrong passwords or codes.
        NotLetIn: the password or the code is wrong.
        FactorError: there is none, or the settings ask for one.
    """
    if settings.second_factor:
        raise FactorError(
            "a second factor is needed here; for a new phone, have an owner take this one away and invite you"
        )
    own_password(database, actor, password)
    with limits.one_try(database, f"code {actor.person_id}", FROM_HERE), database.session() as session:
        person = session.get_one(Person, actor.person_id)
        factor = factors.confirmed(session, person.id)
        if factor is None:
            raise FactorError("there is no second factor")
        if not factors.accept(session, factor, code):
            raise NotLetIn("the code is wrong, or was used already")
        forget_factor(session, actor, person)
        return start(session, settings, person)


def forget_factor(session: Session, actor: Actor, person: Person) -> None:
    """Take a person's second factor away, because their phone is lost; all their sessions end."""
    if factors.forget(session, person.id):
        end_all(session, person.id)
        audit(session, actor, "factor taken away", resource_of_session(person))
