import json
from collections.abc import Iterator
from contextlib import suppress

import pytest
from sqlalchemy import select

from service.hooks.announce import EVENTS, announce
from service.records import Base, Delivery, Gym, Webhook, new_id
from service.records.database import Database


@pytest.fixture
def database(database_url: str) -> Iterator[Database]:
    made = Database(database_url)
    Base.metadata.create_all(made.engine)
    yield made
    made.engine.dispose()


@pytest.fixture
def gym(database: Database) -> str:
    gyms = [Gym(id=new_id(), name=name) for name in ("Tall Oak Hall", "Low Bar")]
    with database.session() as session:
        session.add_all(gyms)
        session.flush()
        for owner, name, events, active in [
            (gyms[0], "all", sorted(EVENTS), True),
            (gyms[0], "measured", ["clip.measured"], True),
            (gyms[0], "none", [], True),
            (gyms[0], "off", sorted(EVENTS), False),
            (gyms[1], "other", sorted(EVENTS), True),
        ]:
            session.add(
                Webhook(
                    id=name, gym_id=owner.id, url="https://tool.example/", secret=name, events=events, active=active
                )
            )
    return gyms[0].id


def test_each_webhook_that_asked_gets_its_own_message(database: Database, gym: str) -> None:
    with database.session() as session:
        assert announce(session, gym, "clip.measured", {"clip": "c1", "sets": 2}) == 2
        assert announce(session, gym, "effort.ruled", {"effort": 7}) == 1
        session.flush()
        rows = session.scalars(select(Delivery)).all()
        assert sorted((row.webhook_id, row.event) for row in rows) == [
            ("all", "clip.measured"), ("all", "effort.ruled"), ("measured", "clip.measured"),
        ]  # fmt: skip
        assert len({row.id for row in rows}) == 3
        for row in rows:
            message = json.loads(row.body)
            assert (message["id"], message["event"], message["made"]) == (row.id, row.event, row.made.isoformat())
            assert message["data"] == ({"effort": 7} if row.event == "effort.ruled" else {"clip": "c1", "sets": 2})
            assert (row.state, row.tries, row.gym_id, row.log) == ("due", 0, gym, [])
            assert row.due == row.made


def test_a_change_that_is_rolled_back_is_not_announced(database: Database, gym: str) -> None:
    with suppress(RuntimeError), database.session() as session:
        announce(session, gym, "clip.deleted", {"clip": "c1"})
        session.flush()
        raise RuntimeError
    with database.session() as session:
        assert not session.scalars(select(Delivery)).all()


def test_what_is_no_json_is_refused(database: Database, gym: str) -> None:
    with database.session() as session, pytest.raises(ValueError, match="JSON"):
        announce(session, gym, "clip.measured", {"seconds": float("nan")})
