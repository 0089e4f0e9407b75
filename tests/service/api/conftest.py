from collections.abc import Iterator
from pathlib import Path
from shutil import copytree

import pytest
import structlog
from fastapi.testclient import TestClient

from tests.service.api.world import World, make_empty
from tests.service.hashing import quick_hashes  # noqa: F401 -- a fixture

structlog.configure(processors=[structlog.processors.format_exc_info, structlog.processors.KeyValueRenderer()])


@pytest.fixture(scope="session")
def empty_data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    data = tmp_path_factory.mktemp("service") / "data"
    data.mkdir()
    make_empty(data)
    return data


@pytest.fixture
def world(empty_data: Path, tmp_path: Path) -> Iterator[World]:
    made = World(copytree(empty_data, tmp_path / "data"))
    yield made
    made.close()


@pytest.fixture
def owner(world: World) -> TestClient:
    return world.client(world.home.owner)


@pytest.fixture
def coach(world: World) -> TestClient:
    return world.client(world.home.coach)


@pytest.fixture
def athlete(world: World) -> TestClient:
    return world.client(world.home.athlete)
