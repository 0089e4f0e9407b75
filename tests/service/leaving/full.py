"""A gym in which every table holds rows, and every clip has files, so that none can be forgotten."""

import shutil
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any, Final

from sqlalchemy import JSON, Boolean, Column, Date, DateTime, Float, Integer, String, Table, func, insert, select
from sqlalchemy.orm import Session

from service.intake.uploads import UploadFiles
from service.jobs.port import Depth
from service.records import Base, new_id
from service.records.base import UtcTime
from service.records.database import Database
from service.settings import Settings
from service.store import ClipFiles, Store, open_store

NOW: Final = datetime(2026, 11, 20, 12, tzinfo=UTC)
HOUSE: Final = {"gym", "key", "webhook", "movement_in_use", "tally", "beat", "deleted", "audit"}
"""Tables whose rows belong to nobody in particular."""
ADA, BO, CLUB = "zephyrine-ada", "quillon-bo", "northside-club"
"""Words that stand in everything that is each one's."""


@dataclass
class Cancelled:
    """A queue that tells what was taken out of it."""

    clips: list[str] = field(default_factory=list)

    def submit(self, clip_id: str, *, again: str = "") -> None:
        raise AssertionError(clip_id, again)

    def cancel(self, clip_id: str) -> None:
        self.clips.append(clip_id)

    def depth(self) -> Depth:
        raise AssertionError


@dataclass(frozen=True)
class Full:
    """A running gym: Ada and Bo have one row in every table, and one clip each."""

    settings: Settings
    database: Database
    store: Store
    queue: Cancelled
    club: Mapping[str, Any]
    ada: Mapping[str, Any]
    bo: Mapping[str, Any]

    def rows(self) -> dict[str, list[tuple[Any, ...]]]:
        """All rows of all tables."""
        return rows_of(self.database)

    def tables_with(self, word: str) -> set[str]:
        """The tables in which a word stands."""
        return {name for name, rows in self.rows().items() if word in repr(rows)}


def rows_of(database: Database) -> dict[str, list[tuple[Any, ...]]]:
    """All rows of all tables of a database."""
    with database.session() as session:
        return {
            table.name: [tuple(row) for row in session.execute(select(table).order_by(*table.primary_key.columns))]
            for table in Base.metadata.sorted_tables
        }


def fill(settings: Settings) -> Full:
    """Fill an empty database and an empty store."""
    database, store = Database(settings.database_url), open_store(settings)
    with database.session() as session:
        club = _fill(session, CLUB, {}, set(Base.metadata.tables) - HOUSE)
        people = [_fill(session, word, club, HOUSE) for word in (ADA, BO)]
    full = Full(settings, database, store, Cancelled(), club, *people)
    for word, person in ((ADA, full.ada), (BO, full.bo)):
        _add_files(full, word, person)
    return full


def _add_files(full: Full, word: str, person: Mapping[str, Any]) -> None:
    files = ClipFiles(person["clip"])
    source = full.settings.data / "source"
    for key in (files.clip("mp4"), files.sensor, files.proxy, files.series, files.drawn):
        source.write_bytes(f"{word} {key}".encode() * 50)
        full.store.put(key, source)
    source.unlink()
    uploads = UploadFiles(full.settings)
    uploads.begin(person["upload"])
    uploads.path(person["upload"]).write_text(word)
    uploads.sensor(person["upload"]).write_text(word)


def _fill(session: Session, word: str, given: Mapping[str, Any], without: set[str]) -> dict[str, Any]:
    """One row for each table, tied to the others; their keys by table."""
    tables = [table for table in Base.metadata.sorted_tables if table.name not in without]
    keys: dict[str, Any] = {table.name: new_id() for table in tables} | dict(given)
    for table in tables:
        row = {column.name: _value(column, keys, word) for column in table.columns if not _counted(column)}
        row |= {name: value for name, value in _special(table, keys, word).items() if name in row}
        (key,) = table.primary_key.columns
        keys[table.name] = session.scalar(insert(table).values(row).returning(key))
    return keys


def _counted(column: Column[Any]) -> bool:
    return column.primary_key and isinstance(column.type, Integer)


def _value(column: Column[Any], keys: Mapping[str, Any], word: str) -> Any:
    for foreign in column.foreign_keys:
        return keys[foreign.column.table.name]
    if column.primary_key:
        return keys[column.table.name]
    kinds: list[tuple[type[Any] | tuple[type[Any], ...], Any]] = [
        (Boolean, True),
        (Integer, 3),
        (Float, 1.25),
        ((UtcTime, DateTime), NOW),
        (Date, date(2026, 11, 20)),
        (JSON, {"told": word}),
    ]
    for kind, value in kinds:
        if isinstance(column.type, kind):
            return value
    assert isinstance(column.type, String), column
    unique = column.unique or "sha256" in column.name or column.name in {"digest", "prefix"}
    text = f"{new_id()}" if unique else f"{word} {column.name} {new_id()}"
    return text[: column.type.length]


def _special(table: Table, keys: Mapping[str, Any], word: str) -> dict[str, Any]:
    """What must be as it is in life."""
    special: dict[str, dict[str, Any]] = {
        "gym": {"keep_clips_days": 30},
        "person": {"role": "athlete", "ended": None},
        "clip": {"container": "mp4", "state": "measured", "files_gone": None, "expires": NOW + timedelta(days=9)},
        "upload": {"expires": NOW + timedelta(hours=9)},
        "session": {"ended": None, "expires": NOW + timedelta(hours=9)},
        "link": {"revoked": None, "expires": NOW + timedelta(days=9)},
        "key": {"revoked": None},
        "consent": {"withdrawn": None},
        "answered": {"actor_id": keys.get("person"), "location": f"/clips/{keys.get('clip')}"},
        "delivery": {"state": "due", "body": f"{word} {keys.get('clip')}"},
        "beat": {"seen": NOW},
        "audit": {"actor_id": new_id(), "resource_id": new_id(), "detail": None, "action": "signed in"},
        "deleted": {"resource": "clip"},
    }
    return special.get(table.name, {})


def empty_sqlite(template: Path, data: Path) -> None:
    """Put an empty database with all tables into a data folder."""
    data.mkdir(parents=True, exist_ok=True)
    shutil.copy(template, data / "plumbrep.db")


def count(database: Database, table: type[Any]) -> int:
    """How many rows a table has."""
    with database.session() as session:
        return session.scalar(select(func.count()).select_from(table)) or 0


def words_in(folder: Path, word: str) -> list[str]:
    """The files under a folder that hold a word, or are called by it."""
    return [
        str(path.relative_to(folder))
        for path in folder.rglob("*")
        if word in path.name or (path.is_file() and word.encode() in path.read_bytes())
    ]
