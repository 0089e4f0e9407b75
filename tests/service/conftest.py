import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import av
import numpy as np
import pytest
from sqlalchemy import make_url
from typer.testing import CliRunner

from service.cli import app
from service.records import migrate
from service.records.database import Database
from tests.service.servers import Postgres, started_postgres

ROOT = Path(__file__).parents[2]
ENVIRONMENT = {name: value for name, value in os.environ.items() if name != "COLUMNS"} | {"PYTHONPATH": str(ROOT)}
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def plumbrep(tmp_path: Path) -> Run:
    """Run the command as a user does, in a folder of its own."""

    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "service.cli", *map(str, arguments)]
        return subprocess.run(
            command, cwd=tmp_path, env=ENVIRONMENT, capture_output=True, text=True, check=False, timeout=300
        )

    return run


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> Run:
    """The same within this process, which has loaded everything already; what native code prints is told too."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("COLUMNS", raising=False)

    def run(*arguments: object) -> subprocess.CompletedProcess[str]:
        capfd.readouterr()
        words = [str(each) for each in arguments]
        said = CliRunner().invoke(app, words, prog_name="plumbrep")
        if said.exception is not None and not isinstance(said.exception, SystemExit):
            raise said.exception
        native = capfd.readouterr()
        return subprocess.CompletedProcess(words, said.exit_code, said.stdout + native.out, said.stderr + native.err)

    return run


@pytest.fixture(scope="session")
def empty_room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two seconds of a wall with some grain: a sound clip with nobody in it."""
    path = tmp_path_factory.mktemp("clips") / "empty-room.mp4"
    grain = np.random.default_rng(1)
    wall = np.linspace(90, 160, 320)[None, :, None] + np.zeros((240, 320, 3))
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=15)
        stream.width, stream.height, stream.pix_fmt = 320, 240, "yuv420p"
        for _ in range(30):
            picture = (wall + grain.normal(0, 4, wall.shape)).clip(0, 255).astype(np.uint8)
            container.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")))
        container.mux(stream.encode())
    return path


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A PostgreSQL of this session's own."""
    with started_postgres() as server:
        yield server


@pytest.fixture
def postgres_url(postgres: Postgres) -> Iterator[str]:
    """The address of an empty PostgreSQL database."""
    with postgres.fresh() as url:
        yield url


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    """The address of an empty SQLite database."""
    return f"sqlite:///{tmp_path / 'plumbrep.db'}"


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest) -> str:
    """The address of an empty database, of each kind in turn."""
    return str(request.getfixturevalue("sqlite_url" if request.param == "sqlite" else "postgres_url"))


@pytest.fixture(scope="session")
def migrated_sqlite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A SQLite file with all tables and no rows, to be copied."""
    path = tmp_path_factory.mktemp("migrated") / "plumbrep.db"
    migrate.upgrade(f"sqlite:///{path}")
    return path


@pytest.fixture(scope="session")
def migrated_postgres(postgres: Postgres) -> Iterator[str]:
    """The name of a PostgreSQL database with all tables and no rows, to be copied."""
    with postgres.fresh() as url:
        migrate.upgrade(url)
        yield str(make_url(url).database)


@pytest.fixture
def sqlite_database(sqlite_url: str, migrated_sqlite: Path) -> Iterator[Database]:
    """All tables and no rows on SQLite: for what does not depend on the kind of database."""
    shutil.copy(migrated_sqlite, str(make_url(sqlite_url).database))
    yield from _opened(sqlite_url)


@pytest.fixture
def postgres_database(postgres: Postgres, migrated_postgres: str) -> Iterator[Database]:
    """All tables and no rows on PostgreSQL."""
    with postgres.fresh(migrated_postgres) as url:
        yield from _opened(url)


@pytest.fixture(params=["sqlite", "postgres"])
def both(request: pytest.FixtureRequest) -> Database:
    """All tables and no rows, on each kind of database in turn."""
    found = request.getfixturevalue(f"{request.param}_database")
    assert isinstance(found, Database)
    return found


@pytest.fixture
def database(both: Database) -> Database:
    """The same; a folder or module that needs one kind only says so by a fixture of its own of this name."""
    return both


@pytest.fixture(scope="module", params=["sqlite", "postgres"])
def shared_database(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """The same for all tests of a module, which roll back what they write: filling tables takes longer than asking."""
    if request.param == "sqlite":
        path = shutil.copy(request.getfixturevalue("migrated_sqlite"), tmp_path_factory.mktemp("shared"))
        yield from _opened(f"sqlite:///{path}")
    else:
        server = request.getfixturevalue("postgres")
        with server.fresh(request.getfixturevalue("migrated_postgres")) as url:
            yield from _opened(url)


def _opened(url: str) -> Iterator[Database]:
    opened = Database(url)
    try:
        yield opened
    finally:
        opened.engine.dispose()
