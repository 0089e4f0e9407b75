from datetime import UTC, datetime

import pytest
from sqlalchemy import select
from sqlalchemy.exc import StatementError

from service.records import Gym
from service.records.database import Database


def test_what_is_written_is_there_afterwards(database: Database) -> None:
    with database.session() as session:
        session.add(Gym(name="Harbour Bars"))
    with database.session() as session:
        assert session.scalars(select(Gym.name)).all() == ["Harbour Bars"]


def test_each_test_starts_with_empty_tables(database: Database) -> None:
    with database.session() as session:
        assert session.scalars(select(Gym)).all() == []


def test_moments_come_back_in_utc_whatever_their_zone(database: Database) -> None:
    moment = datetime.fromisoformat("2026-03-01T01:30:00.000250+02:00")
    with database.session() as session:
        session.add_all([Gym(id="a", name="A", created=moment), Gym(id="b", name="B", created=moment.astimezone(UTC))])
    with database.session() as session:
        found = session.scalars(select(Gym.created)).all()
        assert set(found) == {moment}
        assert {each.isoformat() for each in found} == {"2026-02-28T23:30:00.000250+00:00"}
        assert session.scalars(select(Gym.id).where(Gym.created <= moment).order_by(Gym.id)).all() == ["a", "b"]
        assert session.scalars(select(Gym.id).where(Gym.created < moment)).all() == []


def test_a_moment_without_a_zone_is_refused(database: Database) -> None:
    with pytest.raises(StatementError, match="a moment needs its time zone"), database.session() as session:
        session.add(Gym(name="A", created=datetime(2026, 3, 1)))  # noqa: DTZ001
