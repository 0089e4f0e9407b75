"""Migrations on both databases: up, down, to exactly the tables that the code knows."""

import multiprocessing
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Connection, PrimaryKeyConstraint, UniqueConstraint, inspect, text
from sqlalchemy.exc import DBAPIError, IntegrityError

from service.records import Base, migrate
from service.records.database import engine
from service.records.migrate import SchemaError


@contextmanager
def connected(url: str) -> Iterator[Connection]:
    made = engine(url)
    try:
        with made.begin() as connection:
            yield connection
    finally:
        made.dispose()


def tables(url: str) -> set[str]:
    with connected(url) as connection:
        return set(inspect(connection).get_table_names())


def run(url: str, *statements: str) -> None:
    with connected(url) as connection:
        for statement in statements:
            connection.execute(text(statement))


def differences(connection: Connection) -> list[object]:
    return list(compare_metadata(MigrationContext.configure(connection), Base.metadata))


def test_migrated_tables_are_exactly_those_of_the_code(database_url: str) -> None:
    assert migrate.current(database_url) is None
    migrate.upgrade(database_url)
    assert migrate.current(database_url) == migrate.newest()
    migrate.require_current(database_url)
    with connected(database_url) as connection:
        assert differences(connection) == []


def test_comparison_would_notice_a_missing_index(database_url: str) -> None:
    migrate.upgrade(database_url)
    run(database_url, "DROP INDEX ix_effort_changed")
    with connected(database_url) as connection:
        assert "ix_effort_changed" in str(differences(connection))


def test_migrated_sqlite_is_word_for_word_what_the_code_would_make(sqlite_url: str, tmp_path: Path) -> None:
    """The comparison of types and names does not see everything, as whether numbers are given twice."""

    def words(url: str) -> dict[str, set[str]]:
        with connected(url) as connection:
            rows = connection.execute(text("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")).all()
        return {name: {line.strip().rstrip(",") for line in sql.splitlines()} for name, sql in rows}

    migrate.upgrade(sqlite_url)
    with connected(f"sqlite:///{tmp_path / 'made.db'}") as connection:
        Base.metadata.create_all(connection)
    migrated = words(sqlite_url)
    del migrated["alembic_version"], migrated["sqlite_stat1"]
    assert migrated == words(f"sqlite:///{tmp_path / 'made.db'}")


def test_down_to_nothing_and_up_again(database_url: str) -> None:
    migrate.upgrade(database_url)
    migrate.downgrade(database_url, "base")
    assert tables(database_url) == {"alembic_version"}
    assert migrate.current(database_url) is None
    migrate.upgrade(database_url)
    assert set(Base.metadata.tables) <= tables(database_url)


def test_upgrading_again_keeps_what_is_there(database_url: str) -> None:
    migrate.upgrade(database_url)
    insert = "INSERT INTO beat (worker, started, seen) VALUES ('one', '2026-01-01', '2026-01-01')"
    run(database_url, insert)
    migrate.upgrade(database_url)
    with pytest.raises(IntegrityError):
        run(database_url, insert)


def test_a_newer_database_is_refused_in_one_line_and_left_alone(database_url: str) -> None:
    migrate.upgrade(database_url)
    run(database_url, "UPDATE alembic_version SET version_num = '9999'")
    for attempt in (migrate.upgrade, migrate.require_current, lambda url: migrate.downgrade(url, "base")):
        with pytest.raises(SchemaError, match=r"newer plumbrep \(state 9999; this one knows \d{4}\)") as refused:
            attempt(database_url)
        assert "\n" not in str(refused.value)
    assert migrate.current(database_url) == "9999"
    assert set(Base.metadata.tables) <= tables(database_url)


def test_an_empty_database_is_refused_where_it_must_be_the_newest(database_url: str) -> None:
    migrate.upgrade(database_url)
    migrate.downgrade(database_url, "base")
    with pytest.raises(SchemaError, match="the database is empty"):
        migrate.require_current(database_url)


@pytest.mark.parametrize(
    "url", ["sqlite:////no/such/folder/plumbrep.db", "postgresql+psycopg://nobody@/none?host=/no/such"]
)
def test_a_database_out_of_reach_is_told_in_one_line(url: str) -> None:
    with pytest.raises(SchemaError, match="cannot be opened") as refused:
        migrate.upgrade(url)
    assert "\n" not in str(refused.value)


def test_somebody_elses_tables_are_left_alone(database_url: str) -> None:
    run(database_url, "CREATE TABLE person (name varchar(10))")
    with pytest.raises(SchemaError, match="already holds a table called person"):
        migrate.upgrade(database_url)
    assert tables(database_url) == {"person"}


def test_tables_of_the_queue_do_not_disturb(database_url: str) -> None:
    run(database_url, "CREATE TABLE workflow_status (name varchar(10))")
    migrate.upgrade(database_url)
    migrate.downgrade(database_url, "base")
    assert tables(database_url) == {"alembic_version", "workflow_status"}


def test_a_migration_that_fails_changes_nothing(database_url: str) -> None:
    """A name that is taken makes the first migration fail in its middle."""
    run(database_url, "CREATE TABLE other (n integer)", "CREATE INDEX ix_effort_changed ON other (n)")
    with pytest.raises(DBAPIError, match=r"ix_effort_changed.* already exists"):
        migrate.upgrade(database_url)
    assert tables(database_url) == {"other"}


def test_processes_that_start_together_upgrade_once(database_url: str) -> None:
    spawn = multiprocessing.get_context("spawn")
    processes = [spawn.Process(target=migrate.upgrade, args=(database_url,)) for _ in range(2)]
    for process in processes:
        process.start()
    for process in processes:
        process.join(60)
    assert [process.exitcode for process in processes] == [0, 0]
    migrate.require_current(database_url)


def test_sqlite_keeps_rows_that_point_to_a_table_made_anew(sqlite_url: str) -> None:
    """SQLite changes a table by dropping the old one, which must not take along what points to it."""
    migrate.upgrade(sqlite_url)
    run(
        sqlite_url,
        "INSERT INTO gym (id, name, time_zone, changes, history, created) VALUES ('g', 'G', 'UTC', 0, 'h', '2026-01-01')",
        "INSERT INTO audit (id, gym_id, actor, action, resource, made) VALUES ('a', 'g', 'owner', 'x', 'y', '2026-01-01')",
    )
    with migrate._alone(sqlite_url) as connection:
        for statement in (
            "CREATE TABLE gym_new AS SELECT * FROM gym",
            "DROP TABLE gym",
            "CREATE TABLE gym (id varchar(22) PRIMARY KEY, name varchar(120))",
            "INSERT INTO gym SELECT id, name FROM gym_new",
            "DROP TABLE gym_new",
        ):
            connection.execute(text(statement))
    with connected(sqlite_url) as connection:
        assert connection.scalar(text("SELECT gym_id FROM audit")) == "g"


def test_sqlite_refuses_a_migration_that_leaves_rows_pointing_nowhere(sqlite_url: str) -> None:
    migrate.upgrade(sqlite_url)
    insert = (
        "INSERT INTO audit (id, gym_id, actor, action, resource, made) VALUES ('a', 'no', 'o', 'x', 'y', '2026-01-01')"
    )
    with (
        pytest.raises(RuntimeError, match="broke 1 foreign keys, the first in audit"),
        migrate._alone(sqlite_url) as connection,
    ):
        connection.execute(text(insert))
    with connected(sqlite_url) as connection:
        assert connection.scalar(text("SELECT count(*) FROM audit")) == 0


def test_every_foreign_key_leads_an_index() -> None:
    """Else a deletion would read whole tables to find what goes with it."""
    for table in Base.metadata.tables.values():
        keys = [each for each in table.constraints if isinstance(each, PrimaryKeyConstraint | UniqueConstraint)]
        leading = {next(iter(each.columns)).name for each in [*table.indexes, *keys]}
        assert {key.parent.name for key in table.foreign_keys} <= leading, table.name
