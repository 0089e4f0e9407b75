from collections.abc import Iterator
from pathlib import Path

import pytest

from service.records.database import Database
from service.settings import Settings
from tests.service.jobs.floor import Floor, open_floor


@pytest.fixture
def floor(database: Database, tmp_path: Path) -> Iterator[Floor]:
    """On each kind of database in turn."""
    yield from _opened(database, tmp_path)


@pytest.fixture
def sqlite_floor(sqlite_database: Database, tmp_path: Path) -> Iterator[Floor]:
    """On SQLite: for what does not depend on the kind of database."""
    yield from _opened(sqlite_database, tmp_path)


@pytest.fixture
def postgres_floor(postgres_database: Database, tmp_path: Path) -> Iterator[Floor]:
    """On PostgreSQL: for what only a server can do."""
    yield from _opened(postgres_database, tmp_path)


def _opened(database: Database, folder: Path) -> Iterator[Floor]:
    url = database.engine.url.render_as_string(hide_password=False)
    settings = Settings(data=folder, database=url, silent_seconds=1.5, job_seconds=5, job_memory_mb=512)
    with open_floor(settings, folder / "ready") as opened:
        yield opened
