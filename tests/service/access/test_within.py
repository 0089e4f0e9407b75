"""A list shows what `decide` would allow one by one (ASVS 5.0, 8.2.2, 8.4.1)."""

from typing import get_args

import pytest
from sqlalchemy import select

from service.access.actors import SCOPES, Actor
from service.access.decide import Action, Resource, ResourceKind, decide
from service.access.within import within
from service.records import Note, new_id
from service.records.database import Database
from tests.service.access.conftest import People


@pytest.fixture
def database(both: Database) -> Database:
    return both


@pytest.mark.parametrize("kind", ["athlete", "coach", "owner", "program", "operator"])
def test_lists_and_single_rows_agree(database: Database, people: People, kind: str) -> None:
    actor = (
        people.actor(kind)
        if kind in {"athlete", "coach", "owner"}
        else Actor("program", people.gym, key_id="key", scopes=SCOPES)
        if kind == "program"
        else Actor("operator", None)
    )
    with database.session() as session:
        for gym, athlete in [
            (people.gym, people.athlete),
            (people.gym, people.other_athlete),
            (people.other_gym, people.other_owner),
            (people.other_gym, people.athlete),  # a row that never ought to be
        ]:
            session.add(Note(id=new_id(), gym_id=gym, athlete_id=athlete, text="hips higher"))
        session.flush()
        rows = session.scalars(select(Note)).all()
        assert len(rows) == 4
        for action in get_args(Action):
            for resource in get_args(ResourceKind):
                shown = set(
                    session.scalars(
                        select(Note.id).where(within(actor, action, resource, Note.gym_id, Note.athlete_id))
                    )
                )
                allowed = {
                    row.id for row in rows if decide(actor, action, Resource(resource, row.gym_id, row.athlete_id))
                }
                assert shown == (set() if resource == "service" else allowed)


def test_own_without_a_person_to_own_it_shows_nothing(database: Database, people: People) -> None:
    with database.session() as session:
        session.add(Note(id=new_id(), gym_id=people.gym, athlete_id=people.athlete, text="hips higher"))
        assert not session.scalars(
            select(Note).where(within(people.actor("athlete"), "read", "note", Note.gym_id))
        ).all()
