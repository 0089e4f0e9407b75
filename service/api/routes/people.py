"""People of the gym."""

from typing import Annotated, Any

from fastapi import Query, Response
from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from service.access.audit import audit
from service.access.decide import Resource
from service.access.entrance import clean_login
from service.access.links import revoke_links
from service.access.sessions import end_all
from service.access.within import within
from service.api.deps import Actor, Parts, Session, fetch, require, resource_of
from service.api.etags import IfMatch, require_match
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.people import NewPerson, PersonChange, PersonGiven
from service.leaving.deleting import delete_athlete
from service.records import Person, now
from service.records.gyms import Role

people = router("people")


@people.get("/people")
def list_people(
    session: Session,
    actor: Actor,
    after: After = None,
    limit: Limit = 50,
    role: Annotated[Role | None, Query(description="Only these.")] = None,
    ended: Annotated[bool, Query(description="Also those who are no longer with the gym.")] = False,
) -> Page[PersonGiven]:
    """The people of the gym, the longest there first; an athlete sees themselves."""
    query = select(Person).where(within(actor, "read", "person", Person.gym_id, Person.id))
    if role is not None:
        query = query.where(Person.role == role)
    if not ended:
        query = query.where(Person.ended.is_(None))
    return page(session, query, (Person.created, Person.id), after, limit, PersonGiven.model_validate)


@people.post("/people", status_code=201)
def add_person(asked: NewPerson, session: Session, actor: Actor, response: Response) -> PersonGiven:
    """Add somebody. An athlete then gets a link to come in by; a coach or an owner one to set a password by."""
    require(actor, "write", Resource("person", actor.gym_id))
    row = Person(
        gym_id=actor.gym_id, **asked.model_dump(exclude={"login"}), login=_login(session, asked.login, asked.role)
    )
    session.add(row)
    session.flush()
    audit(session, actor, "created", resource_of(row, "person"), {"role": row.role})
    response.headers["Location"] = f"/api/v1/people/{row.id}"
    return PersonGiven.model_validate(row)


@people.get("/people/{person_id}")
def get_person(person_id: str, session: Session, actor: Actor) -> PersonGiven:
    """One person."""
    return PersonGiven.model_validate(fetch(session, Person, person_id, actor, "read", "person"))


@people.patch("/people/{person_id}")
def change_person(
    person_id: str, asked: PersonChange, session: Session, actor: Actor, if_match: IfMatch = None
) -> PersonGiven:
    """Change what is said of a person."""
    row = fetch(session, Person, person_id, actor, "write", "person")
    require_match(if_match, PersonGiven.model_validate(row))
    changes: dict[str, Any] = asked.model_dump(exclude_unset=True)
    if changes.get("name", "") is None:
        raise Problem("invalid", "body.name: a person needs a name")
    if "login" in changes and changes["login"] != row.login:
        row.login = _login(session, changes["login"], row.role)
    for name in changes.keys() & {"name", "height_cm", "mass_kg", "sex", "born"}:
        setattr(row, name, changes[name])
    if changes.get("ended") is not None:
        _end(session, row, changes["ended"])
    session.flush()
    audit(session, actor, "changed", resource_of(row, "person"), {"changed": sorted(changes)})
    return PersonGiven.model_validate(row)


@people.delete("/people/{person_id}", status_code=204)
def delete_person(person_id: str, session: Session, actor: Actor, parts: Parts) -> None:
    """Delete a person and all that is theirs: clips, results, prescriptions, consents, notes, ways to come in."""
    row = fetch(session, Person, person_id, actor, "delete", "person")
    if row.id == actor.person_id:
        raise Problem("conflict", "you are signed in as this person; let another owner do it")
    delete_athlete(session, parts.store, parts.queue, parts.settings, actor, row)


def _login(records: Records, login: str | None, role: Role) -> str | None:
    """A login as it is kept, if it goes with the role and nobody has it."""
    if (login is None) != (role == "athlete"):
        raise Problem("invalid", "body.login: a coach or an owner needs one, and an athlete has none")
    if login is None:
        return None
    login = clean_login(login)
    if not login:
        raise Problem("invalid", "body.login: take letters and signs that can be seen")
    if records.scalar(select(Person.id).where(Person.login == login)) is not None:
        raise Problem("conflict", "body.login: this login is taken; take another")
    return login


def _end(records: Records, person: Person, ended: bool) -> None:
    """Let a person go, or come back."""
    if ended and person.ended is None:
        person.ended = now()
        end_all(records, person.id)
        revoke_links(records, person.id)
    elif not ended:
        person.ended = None
