"""Bring a database to the state that this program knows: one transaction, and one process at a time."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, func, inspect, select
from sqlalchemy.exc import OperationalError

from models.errors import BadInput
from service.records import Base
from service.records.database import engine
from service.records.planner import tell_sqlite

LOCK = 0x504C554D
"""Any number that no other program locks on the same PostgreSQL database: here the letters PLUM."""


class SchemaError(BadInput):
    """The database is not in a state that this program can work with."""


def upgrade(url: str, to: str = "head") -> None:
    """Make the tables, or bring them to a later state; nothing happens where they are there already.

    Raises:
        SchemaError: the database is of a newer program, or holds tables that no program of ours has made.
    """
    with _alone(url) as connection:
        _require_ours(connection)
        command.upgrade(_config(connection), to)
        if connection.dialect.name == "sqlite" and _revision(connection) == newest():
            tell_sqlite(connection)


def downgrade(url: str, to: str) -> None:
    """Bring the tables back to the earlier state `to`, `base` being none at all. What only the later one held is lost.

    Raises:
        SchemaError: as `upgrade`.
    """
    with _alone(url) as connection:
        _require_ours(connection)
        command.downgrade(_config(connection), to)


def current(url: str) -> str | None:
    """The state that a database is in; None where it has no tables yet.

    Raises:
        SchemaError: it cannot be opened.
    """
    with _opened(url) as connection:
        return _revision(connection)


def require_current(url: str) -> None:
    """Refuse a database in any state but the newest.

    Raises:
        SchemaError: it is older or newer than this program, or cannot be opened.
    """
    with _opened(url) as connection:
        _require_ours(connection)
        found = _revision(connection)
    if found is None:
        raise SchemaError("the database is empty: start `plumbrep serve` once, which makes its tables")
    if found != newest():
        raise SchemaError(
            f"the database is of an older plumbrep (state {found}; this one needs {newest()}): start `plumbrep serve` once, "
            "which brings it there"
        )


def newest() -> str:
    """The state that this program works with."""
    head = _scripts().get_current_head()
    assert head is not None
    return head


@contextmanager
def _alone(url: str) -> Iterator[Connection]:
    """One connection in one transaction, while every other migration waits."""
    with _opened(url) as connection:
        sqlite = connection.dialect.name == "sqlite"
        if sqlite:
            _begin_sqlite(connection)
        else:
            connection.execute(select(func.pg_advisory_xact_lock(LOCK)))
        yield connection
        if sqlite:
            _require_whole(connection)
        connection.commit()


@contextmanager
def _opened(url: str) -> Iterator[Connection]:
    made = engine(url)
    try:
        try:
            connection = made.connect()
        except OperationalError as fault:
            why = str(fault.orig).strip().split("\n", 1)[0]
            raise SchemaError(f"the database cannot be opened ({why}): check its address") from fault
        with connection:
            yield connection
    finally:
        made.dispose()


def _begin_sqlite(connection: Connection) -> None:
    """Begin before the first change of a table, which Python's sqlite3 would not.

    Foreign keys rest meanwhile: SQLite changes a table by making it anew, and dropping the old one would take everything
    along that points to it.
    """
    raw = connection.connection.dbapi_connection
    assert raw is not None
    raw.isolation_level = None
    connection.exec_driver_sql("PRAGMA foreign_keys=OFF")
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _require_whole(connection: Connection) -> None:
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
    if broken:
        raise RuntimeError(
            f"the migration broke {len(broken)} foreign keys, the first in {broken[0][0]}; nothing was changed"
        )


def _require_ours(connection: Connection) -> None:
    found = _revision(connection)
    if found is None:
        strange = sorted(set(inspect(connection).get_table_names()) & set(Base.metadata.tables))
        if strange:
            raise SchemaError(
                f"the database already holds a table called {strange[0]} that plumbrep has not made: use another database"
            )
    elif found not in {script.revision for script in _scripts().walk_revisions()}:
        raise SchemaError(
            f"the database is of a newer plumbrep (state {found}; this one knows {newest()}): install that version, or "
            "restore a backup that this version wrote"
        )


def _revision(connection: Connection) -> str | None:
    return MigrationContext.configure(connection).get_current_revision()


def _scripts() -> ScriptDirectory:
    return ScriptDirectory.from_config(_config())


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    folder = Path(__file__).parent / "migrations"
    config.set_main_option("script_location", str(folder).replace("%", "%%"))
    config.set_main_option("file_template", "v%%(rev)s_%%(slug)s")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config
