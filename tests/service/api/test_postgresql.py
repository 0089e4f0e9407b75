"""The parts of the API that ask the database most, on PostgreSQL: the tests that SQLite has already passed."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sqlalchemy import make_url

from service.jobs.dbos_queue import prepare
from service.records.migrate import upgrade
from service.settings import Settings
from tests.service.api import test_idempotency, test_results, test_review
from tests.service.api.world import World
from tests.service.servers import Postgres


def _with_a_program(test: Callable[..., None]) -> Callable[[World], None]:
    return lambda world: test(world, world.program(world.home, "read:tempo"))


def _with_a_coach(test: Callable[..., None]) -> Callable[[World], None]:
    return lambda world: test(world, world.client(world.home.coach))


TESTS: dict[str, Callable[[World], None]] = {
    "idempotency": test_idempotency.test_at_the_same_moment_it_is_done_once,
    "pages": _with_a_program(test_results.test_pages_of_efforts_join),
    "sums": _with_a_program(test_results.test_sums_by_week),
    "draws": test_review.test_the_database_and_python_draw_the_same,
    "queue": _with_a_coach(test_review.test_what_needs_a_person_comes_set_by_set),
    "pages of the queue": _with_a_coach(test_review.test_pages_of_the_queue_join),
    "rulings": _with_a_coach(test_review.test_a_blind_verdict_is_shown_once_ruled_on_and_kept_with_its_chance),
    "corrections": _with_a_coach(test_review.test_a_moved_boundary_is_measured_anew_beside_the_machine),
    "agreement": _with_a_coach(test_review.test_agreement_is_told_from_blind_rulings_only),
}


@pytest.fixture(scope="module")
def empty(postgres: Postgres, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The name of a database with all tables, the queue's too, to be copied."""
    with postgres.fresh() as url:
        upgrade(url)
        prepare(Settings(data=tmp_path_factory.mktemp("empty"), database=url))
        yield str(make_url(url).database)


@pytest.mark.parametrize("name", TESTS)
def test_the_same_on_postgresql(postgres: Postgres, empty: str, tmp_path: Path, name: str) -> None:
    with postgres.fresh(empty) as url:
        world = World(tmp_path, database=url)
        try:
            TESTS[name](world)
        finally:
            world.close()
