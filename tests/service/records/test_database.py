from sqlalchemy import select

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
