"""Coming in: a coach by login and password, an athlete by a link, a program by its key; and going out.

What needs a password takes the `Database` instead of a transaction: hashing takes a fifth of a second, in which no lock may be
held, and a failed try has to be counted though the request fails.
"""

from datetime import timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.access import factors, limits
from service.access.actors import Actor
from service.access.audit import audit
from service.access.decide import Resource
from service.access.errors import CodeNeeded, NotLetIn, PasswordError, TooManyTries
from service.access.invitations import invited
from service.access.keys import actor_of_key
from service.access.limits import Limit
from service.access.links import open_link
from service.access.passwords import check_new, hash_password, is_right
from service.access.sessions import Entered, actor_of_session, end_all, end_one, start
from service.records.base import now
from service.records.database import Database
from service.records.gyms import Gym, Person
from service.settings import Settings

__all__ = [
    "Entered", "accept_invitation", "actor_of_key", "actor_of_session", "change_password", "open_link", "set_password",
    "sign_in", "sign_out",
]  # fmt: skip

QUARTER = timedelta(minutes=15)
FROM_HERE = Limit(5, QUARTER)
"""Wrong passwords for one login from one address: a person mistypes, a program guesses."""
ADDRESS = Limit(50, QUARTER)
"""From one address, whatever the login: a gym shares one, a stolen list of passwords has thousands."""
LOGIN = Limit(100, timedelta(hours=1))
"""For one login from anywhere. So loose because whoever wants to lock a coach out could use it up; a password that stands
10,000,000,000 guesses stands these. The coach's open sessions go on."""


def sign_in(
    database: Database,
    settings: Settings,
    login: str,
    password: str,
    address: str,
    replacing: str | None = None,
    code: str | None = None,
) -> Entered:
    """Let a coach or an owner in (ASVS 5.0, 6.3.3: with a second factor, where they have one or the settings ask for it).

    Args:
        database: the records.
        settings: how long sessions last.
        login: as it was typed; upper and lower case are one.
        password: as it was typed.
        address: where the request comes from.
        replacing: the token of the session that the browser came with, which ends.
        code: of the second factor.

    Raises:
        TooManyTries: from this address or for this login.
        CodeNeeded: the password is right, and there is a second factor.
        NotLetIn: the login or the password is wrong; which of them is told neither by the message nor by the time it takes.
            Or the code is, or there is no second factor where one must be.
    """
    login = clean_login(login)
    tallies = _tallies(login, address)
    with database.session() as session:
        wait = max(limits.count(session, what, limit) for what, limit in tallies)
        found = session.scalar(select(Person).where(Person.login == login))
    if wait:
        raise TooManyTries(wait)
    kept = found.password_hash if found else None
    right = is_right(password, kept)
    with database.session() as session:
        person = _still(session, found, kept) if right else None
        refusal = _second(session, settings, person, code) if person else NotLetIn("the login or the password is wrong")
        if person is not None and (refusal is None or isinstance(refusal, CodeNeeded)):
            _give_back(session, tallies)
        if person is not None and refusal is None:
            entered = start(session, settings, person, replacing=replacing)
            audit(session, entered.actor, "signed in", resource_of_session(person))
            return entered
        if not isinstance(refusal, CodeNeeded):
            wrong = "wrong code" if person else "wrong password"
            audit(session, None, wrong, resource_of_session(found) if found else Resource("session", None))
    raise refusal or AssertionError


def _second(session: Session, settings: Settings, person: Person, code: str | None) -> NotLetIn | None:
    """Why the password is not enough; None: it is, or the code is right too."""
    factor = factors.confirmed(session, person.id)
    if factor is None:
        needed = NotLetIn("a second factor is needed here, and you have none: ask for an invitation, and set one up")
        return needed if settings.second_factor else None
    if not code:
        return CodeNeeded()
    return None if factors.accept(session, factor, code) else NotLetIn("the code is wrong, or was used already")


def clean_login(login: str) -> str:
    """A login as it is kept and looked for; empty, which is nobody's, where it holds what no database takes."""
    login = login.strip().casefold()
    return login if login.isprintable() else ""


def _tallies(login: str, address: str) -> list[tuple[str, Limit]]:
    near = limits.neighbourhood(address)
    return [(f"login {login} from {near}", FROM_HERE), (f"from {near}", ADDRESS), (f"login {login}", LOGIN)]


def _give_back(session: Session, tallies: list[tuple[str, Limit]]) -> None:
    """A right password is no failed try. The wider tallies lose only this one, or owning one account would clear them."""
    here, *wider = tallies
    limits.forget(session, here[0])
    for what, _ in wider:
        limits.give_back(session, what)


def _still(session: Session, person: Person | None, kept: str | None) -> Person | None:
    """The person, unless they left or changed the password while it was checked."""
    found = person and session.get(Person, person.id)
    return found if found and found.ended is None and found.password_hash == kept else None


def resource_of_session(person: Person) -> Resource:
    """Signing in, as what it is recorded under."""
    return Resource("session", person.gym_id, person.id, person.id)


def sign_out(session: Session, actor: Actor) -> None:
    """End the actor's session (ASVS 5.0, 7.4.1)."""
    if actor.session_id is not None:
        end_one(session, actor.session_id)
        audit(session, actor, "signed out", Resource("session", actor.gym_id, actor.person_id, actor.session_id))


def set_password(session: Session, person: Person, password: str) -> None:
    """Give a person a password and end all their sessions (ASVS 5.0, 7.4.3).

    For the command line, and for what has made sure of the person in another way. It hashes inside the transaction.

    Raises:
        PasswordError: it is not good enough, or the person comes by a link.
    """
    _check(session, person, password)
    _keep(session, person, hash_password(password))


def change_password(database: Database, settings: Settings, actor: Actor, current: str, password: str) -> Entered:
    """Change one's own password: every session ends, and this browser gets a new one (ASVS 5.0, 6.2.3, 7.4.3).

    Raises:
        TooManyTries: with a wrong current password.
        NotLetIn: the current password is wrong.
        PasswordError: the new one is not good enough.
    """
    kept = own_password(database, actor, current)
    with database.session() as session:
        _check(session, session.get_one(Person, actor.person_id), password)
    hashed = hash_password(password)
    with database.session() as session:
        person = _still(session, session.get(Person, actor.person_id), kept)
        if person is None:
            raise NotLetIn("the current password is wrong")
        _keep(session, person, hashed)
        audit(session, actor, "password set", resource_of_session(person))
        return start(session, settings, person)


def accept_invitation(
    database: Database, settings: Settings, token: str, password: str, code: str | None = None
) -> Entered:
    """Set a password by a link made for it, which is then used up, and let the person in.

    Whoever has a second factor needs it here too, or a link would go round it (ASVS 5.0, 6.4.3). Who has none comes in by the
    link alone, once, and can set one up.

    Raises:
        TooManyTries: with a wrong code.
        CodeNeeded: there is a second factor.
        NotLetIn: the link does not count.
        PasswordError: the password is not good enough; the link can be tried again.
    """
    with database.session() as session:
        _, person = invited(session, token)
        _check(session, person, password)
    _require_code(database, person, code)
    hashed = hash_password(password)
    with database.session() as session:
        link, person = invited(session, token)
        link.revoked = now()
        _keep(session, person, hashed)
        entered = start(session, settings, person)
        audit(session, entered.actor, "password set", resource_of_session(person))
        return entered


def _require_code(database: Database, person: Person, code: str | None) -> None:
    """Ask for the code of somebody who has a second factor, beside an invitation."""
    with database.session() as session:
        factor = factors.confirmed(session, person.id)
    if factor is None:
        return
    if not code:
        raise CodeNeeded
    with limits.one_try(database, f"code {person.id}", FROM_HERE), database.session() as session:
        if not factors.accept(session, factor, code):
            raise NotLetIn("the code is wrong, or was used already")


def own_password(database: Database, actor: Actor, password: str) -> str:
    """The hash of one's own password, if this is it; wrong ones are counted.

    Raises:
        TooManyTries: with a wrong password.
        NotLetIn: the password is wrong.
    """
    with limits.one_try(database, f"password {actor.person_id}", FROM_HERE):
        with database.session() as session:
            person = session.get(Person, actor.person_id) if actor.person_id else None
            kept = person.password_hash if person else None
        if kept is None or not is_right(password, kept):
            raise NotLetIn("the current password is wrong")
    return kept


def _check(session: Session, person: Person, password: str) -> None:
    if person.login is None:
        raise PasswordError("an athlete comes by a link and has no password; a coach needs a login first")
    gym = session.get_one(Gym, person.gym_id)
    check_new(password, (gym.name, person.login, person.name))


def _keep(session: Session, person: Person, hashed: str) -> None:
    person.password_hash = hashed
    session.flush()
    end_all(session, person.id)
