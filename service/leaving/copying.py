"""Copy all records between databases, of either kind, as they were at one moment."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, Integer, Table, func, insert, make_url, select

from service.records import Base
from service.records.database import engine
from service.records.migrate import upgrade

ROWS: Final = 1000
"""Rows held in memory at a time."""


def copy_out(url: str, to: Path) -> None:
    """Write the records of a database that is in use into a new SQLite file, as they are at one moment."""
    if file := _sqlite_file(url):
        _copy_pages(file, to)
        with closing(sqlite3.connect(to)) as new:
            new.execute("PRAGMA journal_mode=DELETE")  # one file, not three
        return
    upgrade(f"sqlite:///{to}")
    source, target = engine(url), engine(f"sqlite:///{to}")
    try:
        with (
            source.connect().execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True) as old,
            target.begin() as new,
        ):
            copy_rows(old, new)
        with target.connect() as new:
            new.exec_driver_sql("PRAGMA journal_mode=DELETE")
    finally:
        source.dispose()
        target.dispose()


def copy_in(records: Path, url: str) -> None:
    """Put the records of a SQLite file into a database with the same tables, all at once, instead of what is there."""
    if file := _sqlite_file(url):
        _copy_pages(records, file)
        return
    source, target = engine(f"sqlite:///{records}"), engine(url)
    try:
        with source.connect() as old, target.begin() as new:
            copy_rows(old, new)
    finally:
        source.dispose()
        target.dispose()


def copy_rows(old: Connection, new: Connection) -> None:
    """Put all rows of one database into the tables of another, in its open transaction, instead of what is there."""
    tables = Base.metadata.sorted_tables
    for table in reversed(tables):
        new.execute(table.delete())
    for table in tables:
        rows = old.execution_options(yield_per=ROWS).execute(select(table))
        for some in rows.mappings().partitions():
            new.execute(insert(table), [dict(row) for row in some])
        if new.dialect.name == "postgresql":
            _count_on(new, table)


def _sqlite_file(url: str) -> Path | None:
    made = make_url(url)
    return Path(made.database or "") if made.get_backend_name() == "sqlite" else None


def _copy_pages(source: Path, target: Path) -> None:
    """SQLite's own backup: as of one moment, in one transaction, beside readers and writers."""
    with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)


def _count_on(new: Connection, table: Table) -> None:
    """Let PostgreSQL number new rows after those that brought their numbers along."""
    (key,) = table.primary_key.columns if len(table.primary_key.columns) == 1 else (None,)
    if key is None or not isinstance(key.type, Integer):
        return
    highest = new.scalar(select(func.max(key))) or 0
    sequence = func.pg_get_serial_sequence(f'"{table.name}"', key.name)
    new.execute(select(func.setval(sequence, max(highest, 1), highest > 0)))
