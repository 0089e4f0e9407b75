"""The database: SQLite in the data folder, or PostgreSQL by its address."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.orm import Session, sessionmaker

BUSY_MS = 10_000
"""How long a writer waits for another on SQLite."""

CACHE_KB = 32_000
"""Pages of the file that a SQLite connection keeps at hand; with its own 2 MB, an athlete's year takes a third longer."""


def engine(url: str) -> Engine:
    """The engine for a database's address."""
    # Errors name no values: those may be people's names, and errors reach logs.
    made = create_engine(url, pool_pre_ping=True, hide_parameters=True)
    if made.dialect.name == "sqlite":
        event.listen(made, "connect", _prepare_sqlite)
    return made


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    """Readers beside one writer, waiting instead of failing; foreign keys that hold; nothing left of deleted rows."""
    for pragma in (
        "journal_mode=WAL",
        f"busy_timeout={BUSY_MS}",
        "foreign_keys=ON",
        "synchronous=NORMAL",
        f"cache_size=-{CACHE_KB}",
        "secure_delete=ON",
    ):
        connection.execute(f"PRAGMA {pragma}")


class Database:
    """Sessions on one engine."""

    def __init__(self, url: str) -> None:
        self.engine = engine(url)
        self._sessions = sessionmaker(self.engine, expire_on_commit=False)

    @contextmanager
    def session(self) -> Iterator[Session]:
        """One transaction: committed when the block ends, rolled back when it raises."""
        with self._sessions.begin() as session:
            yield session
