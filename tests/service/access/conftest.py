from dataclasses import dataclass

import pytest

from service.access.actors import Actor
from service.records import Gym, Person, new_id
from service.records.database import Database
from service.settings import Settings
from tests.service.hashing import QUICK, quick_hashes  # noqa: F401 -- a fixture

PASSWORD = "kettle orbit fern"  # noqa: S105 -- of invented people
HASHED = QUICK.hash(PASSWORD)


@dataclass(frozen=True)
class People:
    """Two gyms. Identifiers only: rows are fetched where they are used."""

    gym: str
    owner: str
    coach: str
    athlete: str
    other_athlete: str
    other_gym: str
    other_owner: str

    def actor(self, kind: str, session_id: str | None = None) -> Actor:
        """One of the first gym's people, let in."""
        return Actor(kind, self.gym, person_id=getattr(self, kind), session_id=session_id)  # type: ignore[arg-type]


@pytest.fixture
def settings() -> Settings:
    return Settings(_env_file=None)


@pytest.fixture
def database(sqlite_database: Database) -> Database:
    """One kind; modules whose statements differ by database ask for `both` instead."""
    return sqlite_database


@pytest.fixture
def people(database: Database) -> People:
    ids = People(*(new_id() for _ in range(7)))
    with database.session() as session:
        session.add_all([Gym(id=ids.gym, name="Tall Oak Hall"), Gym(id=ids.other_gym, name="Low Bar")])
        session.flush()
        session.add_all(
            [
                Person(
                    id=ids.owner, gym_id=ids.gym, role="owner", name="Ilse Dorn", login="ilse", password_hash=HASHED
                ),
                Person(id=ids.coach, gym_id=ids.gym, role="coach", name="Bo Lund", login="bo", password_hash=HASHED),
                Person(id=ids.athlete, gym_id=ids.gym, role="athlete", name="Ada Quill"),
                Person(id=ids.other_athlete, gym_id=ids.gym, role="athlete", name="Per Vane"),
                Person(id=ids.other_owner, gym_id=ids.other_gym, role="owner", name="Uma Reed", login="uma"),
            ]
        )
    return ids
