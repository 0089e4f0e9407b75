from collections.abc import Iterator
from shutil import copytree

import pytest
import structlog
from fastapi.testclient import TestClient

from tests.service.api.world import World, make_empty
from tests.service.hashing import quick_hashes  # noqa: F401 -- a fixture

structlog.configure(processors=[structlog.processors.format_exc_info, structlog.processors.KeyValueRenderer()])


@pytest.fixture(scope="module")
def world(tmp_path_factory: pytest.TempPathFactory) -> Iterator[World]:
    """One for all tests of a module: pages change little."""
    folder = tmp_path_factory.mktemp("pages")
    (folder / "empty").mkdir()
    make_empty(folder / "empty")
    made = World(copytree(folder / "empty", folder / "data"))
    yield made
    made.close()


@pytest.fixture
def browser(world: World) -> TestClient:
    """A browser, not signed in, that shows where it is led instead of going there."""
    return as_browser(world.client())


def as_browser(client: TestClient) -> TestClient:
    client.headers["Accept"] = "text/html,application/xhtml+xml,*/*;q=0.8"
    client.follow_redirects = False
    return client
