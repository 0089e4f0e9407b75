from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from service.settings import Settings
from tests.service.leaving.full import Full, empty_sqlite, fill
from tests.service.s3 import bucket, s3_server  # noqa: F401
from tests.service.servers import Postgres

Place = Callable[[str], Settings]


@pytest.fixture
def place(request: pytest.FixtureRequest, tmp_path: Path, migrated_sqlite: Path) -> Iterator[Place]:
    """Settings of an installation without records: `sqlite` with a folder, or `postgres` with a bucket."""
    made: list[Settings] = []
    open_databases = []

    def settle(kind: str) -> Settings:
        data = tmp_path / f"data-{len(made)}"
        if kind == "sqlite":
            empty_sqlite(migrated_sqlite, data)
            settings = Settings(data=data)
        else:
            data.mkdir()
            server: Postgres = request.getfixturevalue("postgres")
            fresh = server.fresh(request.getfixturevalue("migrated_postgres"))
            open_databases.append(fresh)
            settings = Settings(data=data, database=fresh.__enter__(), **request.getfixturevalue("bucket").settings)
        made.append(settings)
        return settings

    yield settle
    for fresh in open_databases:
        fresh.__exit__(None, None, None)


@pytest.fixture(params=["sqlite", "postgres"])
def full(request: pytest.FixtureRequest, place: Place) -> Iterator[Full]:
    """A gym in which every table has rows."""
    made = fill(place(request.param))
    yield made
    made.database.engine.dispose()


@pytest.fixture
def full_here(place: Place) -> Iterator[Full]:
    """The same on SQLite and a folder: for what does not depend on where it is kept."""
    made = fill(place("sqlite"))
    yield made
    made.database.engine.dispose()
