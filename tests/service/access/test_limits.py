from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from sqlalchemy import func, select, update

from service.access import limits
from service.access.limits import Limit
from service.records import Tally, now
from service.records.database import Database

LIMIT = Limit(3, timedelta(minutes=15))


@pytest.fixture
def database(both: Database) -> Database:
    return both


def once(database: Database, what: str = "x") -> int:
    with database.session() as session:
        return limits.count(session, what, LIMIT)


def age(database: Database, by: timedelta) -> None:
    with database.session() as session:
        session.execute(update(Tally).values(since=now() - by))


def test_counts_to_the_limit_and_says_how_long_to_wait(database: Database) -> None:
    assert [once(database) for _ in range(3)] == [0, 0, 0]
    assert 890 <= once(database) <= 900
    assert once(database, "another") == 0
    age(database, timedelta(minutes=14))
    assert 50 <= once(database) <= 60


def test_trying_on_does_not_prolong_the_wait(database: Database) -> None:
    for _ in range(20):
        once(database)
    age(database, timedelta(minutes=15))
    assert [once(database) for _ in range(3)] == [0, 0, 0]
    assert once(database)


def test_left_forgotten_and_given_back(database: Database) -> None:
    with database.session() as session:
        assert limits.left(session, "x", LIMIT) == 3
        limits.give_back(session, "x")
        for left in (2, 1, 0, 0):
            limits.count(session, "x", LIMIT)
            assert limits.left(session, "x", LIMIT) == left
        limits.give_back(session, "x")
        limits.give_back(session, "x")
        assert limits.left(session, "x", LIMIT) == 1
        limits.forget(session, "x")
        assert limits.left(session, "x", LIMIT) == 3


def test_a_window_that_is_over_leaves_everything(database: Database) -> None:
    for _ in range(5):
        once(database)
    age(database, timedelta(minutes=16))
    with database.session() as session:
        assert limits.left(session, "x", LIMIT) == 3


def test_asvs_6_3_1_tries_at_the_same_moment_are_all_counted(database: Database) -> None:
    with ThreadPoolExecutor(8) as pool:
        waits = list(pool.map(lambda _: once(database), range(24)))
    assert waits.count(0) == 3


def test_old_rows_go_and_what_is_counted_stands_nowhere(database: Database) -> None:
    once(database, "login my secret password")
    with database.session() as session:
        assert all("secret" not in row.digest for row in session.scalars(select(Tally)))
        limits.forget_old(session)
        assert session.scalar(select(func.count()).select_from(Tally)) == 1
    age(database, timedelta(days=1, seconds=1))
    with database.session() as session:
        limits.forget_old(session)
        assert session.scalar(select(func.count()).select_from(Tally)) == 0


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("203.0.113.7", "203.0.113.7", True),
        ("203.0.113.7", "203.0.113.8", False),
        ("2001:db8:1:2::1", "2001:db8:1:2:ffff:1:2:3", True),
        ("2001:db8:1:2::1", "2001:db8:1:3::1", False),
        ("::ffff:203.0.113.7", "203.0.113.7", True),
        ("testclient", "testclient", True),
    ],
)
def test_what_counts_as_one_address(one: str, other: str, same: bool) -> None:
    assert (limits.neighbourhood(one) == limits.neighbourhood(other)) is same
