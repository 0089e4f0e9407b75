"""A backup really comes back, row by row and byte by byte, on whichever kind of machine."""

import hashlib
import json
import shutil
import sqlite3
import threading
from collections.abc import Mapping
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import delete, select

from models.errors import BadInput
from service.access.actors import OPERATOR
from service.leaving.backup import backup
from service.leaving.deleting import delete_athlete, delete_clip
from service.leaving.manifest import LIST, RECORDS, BackupError, Manifest, describe
from service.leaving.restore import restore
from service.records import Base, Beat, Clip, Consent, Deleted, Effort, Gym, Key, Link, Person, Ruling, SetRow, now
from service.records.database import Database
from service.records.review import RulingWord
from service.records.ruling import rule, take_back
from service.settings import Settings
from service.store import ClipFiles, Store, StoreError, open_store
from tests.service.leaving.conftest import Place
from tests.service.leaving.full import ADA, BO, NOW, Full, rows_of, words_in

STARTED_ANEW = {"session", "upload", "beat"}
WORDS: tuple[RulingWord, RulingWord] = ("missed", "met")


@pytest.fixture
def put_by(full: Full, tmp_path: Path) -> Path:
    backup(full.settings, tmp_path / "backup")
    return tmp_path / "backup"


@pytest.fixture
def put_by_here(full_here: Full, tmp_path: Path) -> Path:
    backup(full_here.settings, tmp_path / "backup")
    return tmp_path / "backup"


def sums(store: Store) -> dict[str, str]:
    return {key: hashlib.sha256(b"".join(store.stream(key))).hexdigest() for key in store.list("clips")}


def rows_at(settings: Settings) -> dict[str, Any]:
    """All rows, without what starts anew in a restored database."""
    database = Database(settings.database_url)
    try:
        return comparable(rows_of(database))
    finally:
        database.engine.dispose()


def comparable(rows: Mapping[str, list[tuple[Any, ...]]]) -> dict[str, Any]:
    kept = {name: found for name, found in rows.items() if name not in STARTED_ANEW}
    column = [each.name for each in Base.metadata.tables["gym"].columns].index("history")
    return kept | {"gym": [row[:column] + row[column + 1 :] for row in rows["gym"]]}


def database_with_beats_gone(full: Full) -> None:
    with full.database.session() as session:
        for beat in session.scalars(select(Beat)):
            session.delete(beat)


@pytest.mark.parametrize("kind", ["sqlite", "postgres"])
def test_everything_comes_back(full: Full, put_by: Path, place: Place, kind: str) -> None:
    other = place(kind)
    if kind == "postgres" and full.settings.store:  # the same bucket, as another machine finds it: emptied
        before = sums(full.store)
        full.store.delete("clips")
    else:
        before = sums(full.store)
    restored = restore(other, put_by)
    assert (restored.clips, restored.files, restored.deleted_again) == (2, 10, 0)
    assert rows_at(other) == comparable(full.rows())
    assert sums(open_store(other)) == before
    assert len(before) == 10


def test_new_rows_are_numbered_after_the_restored_ones(full: Full, put_by: Path, place: Place) -> None:
    other = place("sqlite" if full.settings.store else "postgres")
    restore(other, put_by)
    database = Database(other.database_url)
    with database.session() as session:
        first = session.scalars(select(SetRow)).all()
        new = SetRow(
            gym_id=first[0].gym_id,
            measurement_id=first[0].measurement_id,
            clip_id=first[0].clip_id,
            athlete_id=first[0].athlete_id,
            n=9,
            start=0,
            end=1,
        )
        session.add(new)
        session.flush()
        assert new.id > max(row.id for row in first)
    database.engine.dispose()


def test_cursors_begin_anew(full_here: Full, put_by_here: Path, place: Place) -> None:
    other = place("sqlite")
    restore(other, put_by_here)
    database = Database(other.database_url)
    with database.session() as session, full_here.database.session() as old:
        assert session.get_one(Gym, full_here.club["gym"]).history != old.get_one(Gym, full_here.club["gym"]).history
    database.engine.dispose()


def test_what_was_deleted_since_stays_deleted(full: Full, put_by: Path) -> None:
    with full.database.session() as session:
        ada, clip = session.get_one(Person, full.ada["person"]), session.get_one(Clip, full.bo["clip"])
        delete_athlete(session, full.store, full.queue, full.settings, OPERATOR, ada)
        delete_clip(session, full.store, full.queue, full.settings, OPERATOR, clip)
    database_with_beats_gone(full)
    restored = restore(full.settings, put_by, over=True)
    assert (restored.clips, restored.files, restored.deleted_again) == (0, 0, 2)
    assert full.tables_with(ADA) == set()
    assert "person" in full.tables_with(BO)
    assert list(full.store.list("clips")) == []
    assert words_in(full.settings.data, ADA) == []
    with full.database.session() as session:
        told = {row.resource_id: row.changed for row in session.scalars(select(Deleted))}
        assert {full.ada["person"], full.bo["clip"]} <= set(told)
        assert max(n or 0 for n in told.values()) <= session.get_one(Gym, full.club["gym"]).changes


def test_what_was_ended_since_stays_ended(full_here: Full, put_by_here: Path) -> None:
    with full_here.database.session() as session:
        session.get_one(Link, full_here.ada["link"]).revoked = NOW
        session.get_one(Key, full_here.club["key"]).revoked = NOW
        session.get_one(Consent, full_here.bo["consent"]).withdrawn = NOW
    database_with_beats_gone(full_here)
    restore(full_here.settings, put_by_here, over=True)
    with full_here.database.session() as session:
        assert session.get_one(Link, full_here.ada["link"]).revoked == NOW
        assert session.get_one(Link, full_here.bo["link"]).revoked is None
        assert session.get_one(Key, full_here.club["key"]).revoked == NOW
        assert session.get_one(Consent, full_here.bo["consent"]).withdrawn == NOW


def test_a_ruling_that_was_taken_back_since_stays_so(full_here: Full, tmp_path: Path) -> None:
    with full_here.database.session() as session:
        effort = session.scalars(select(Effort).order_by(Effort.id)).first()
        assert effort is not None
        clip = session.get_one(Clip, effort.clip_id)
        session.execute(delete(Ruling))
        coach = full_here.ada["person"]
        first, slip = (rule(session, clip, word, coach_id=coach, effort_id=effort.id) for word in WORDS)
        missing = rule(session, clip, "missing rep", coach_id=coach, stretch=(0.1, 0.2))
    backup(full_here.settings, tmp_path / "backup")
    with full_here.database.session() as session:
        for each in (slip, missing):
            take_back(session, session.get_one(Ruling, each.id))
    database_with_beats_gone(full_here)
    assert restore(full_here.settings, tmp_path / "backup", over=True).deleted_again == 2
    with full_here.database.session() as session:
        kept = set(session.scalars(select(Ruling.id)))
        assert first.id in kept
        assert not {slip.id, missing.id} & kept
        restored = session.get_one(Effort, effort.id)
        assert restored.ruling == WORDS[0]
        assert restored.changed > effort.changed


def test_records_that_are_there_are_not_replaced_unasked(full_here: Full, put_by_here: Path) -> None:
    database_with_beats_gone(full_here)
    before = full_here.rows()
    with pytest.raises(BackupError, match="say --over"):
        restore(full_here.settings, put_by_here)
    assert full_here.rows() == before


def test_over_replaces_what_changed_since(full: Full, put_by: Path, tmp_path: Path) -> None:
    database_with_beats_gone(full)
    before, files = comparable(full.rows()), sums(full.store)
    with full.database.session() as session:
        session.get_one(Person, full.ada["person"]).name = "somebody else"
        session.add(Gym(name="a gym of later"))
    key = ClipFiles(full.ada["clip"]).series
    (tmp_path / "other").write_bytes(b"measured again")
    full.store.delete(key)
    full.store.put(key, tmp_path / "other")
    restore(full.settings, put_by, over=True)
    assert comparable(full.rows()) == before
    assert sums(full.store) == files


def test_a_service_that_runs_is_not_restored_over(full_here: Full, put_by_here: Path) -> None:
    with full_here.database.session() as session:
        session.add(Beat(worker="w1", started=now(), seen=now()))
    with pytest.raises(BackupError, match="plumbrep is running: stop it"):
        restore(full_here.settings, put_by_here, over=True)


@pytest.mark.parametrize("harm", ["changed", "missing", "no list", "no records", "leads elsewhere"])
def test_a_backup_that_is_not_whole_changes_nothing(put_by_here: Path, place: Place, harm: str) -> None:
    _spoil(put_by_here, harm)
    other = place("sqlite")
    with pytest.raises(BackupError, match="backup"):
        restore(other, put_by_here)
    assert all(rows == [] for rows in rows_at(other).values())
    assert list(open_store(other).list("clips")) == []


def _spoil(source: Path, harm: str) -> None:
    some = next((source / "clips").rglob("series.npz"))
    match harm:
        case "changed":
            some.write_bytes(some.read_bytes()[:-1] + b"?")
        case "missing":
            some.unlink()
        case "no list":
            (source / LIST).unlink()
        case "no records":
            (source / RECORDS).unlink()
        case _:
            told = json.loads((source / LIST).read_text())
            told["files"]["clips/../../../stolen"] = next(iter(told["files"].values()))
            (source / LIST).write_text(json.dumps(told))


def test_a_backup_is_complete_or_absent(full_here: Full, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fetch, done = Store.fetch, []

    def fail_at_the_third(store: Store, key: str, to: Path) -> None:
        done.append(key)
        if len(done) == 3:
            raise StoreError("the store is gone")
        fetch(store, key, to)

    monkeypatch.setattr(Store, "fetch", fail_at_the_third)
    with pytest.raises(StoreError):
        backup(full_here.settings, tmp_path / "some" / "backup")
    assert list((tmp_path / "some").iterdir()) == []


def test_a_place_that_is_taken_is_refused(full_here: Full, put_by_here: Path) -> None:
    before = sorted(put_by_here.rglob("*"))
    with pytest.raises(BackupError, match="is there already"):
        backup(full_here.settings, put_by_here)
    assert sorted(put_by_here.rglob("*")) == before


def test_without_records_there_is_nothing_to_put_by(tmp_path: Path) -> None:
    with pytest.raises(BackupError, match="nothing to back up"):
        backup(Settings(data=tmp_path / "data"), tmp_path / "backup")
    assert list(tmp_path.iterdir()) == []


def test_a_backup_is_readable_by_its_owner_alone(put_by_here: Path) -> None:
    assert put_by_here.stat().st_mode & 0o077 == 0


def test_a_clip_deleted_while_the_backup_is_made(
    full_here: Full, tmp_path: Path, place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its rows are in the copy already, its files are not: it comes back as a clip whose files are gone."""
    listed = Store.list
    deleted: list[str] = []

    def deleted_meanwhile(store: Store, prefix: str) -> Any:
        keys = list(listed(store, prefix))
        if full_here.ada["clip"] in prefix and not deleted:
            deleted.append(prefix)
            store.delete(prefix)
        return iter(keys)

    with monkeypatch.context() as patch:
        patch.setattr(Store, "list", deleted_meanwhile)
        manifest = backup(full_here.settings, tmp_path / "backup")
    assert len(manifest.files) == 5
    other = place("sqlite")
    assert restore(other, tmp_path / "backup").clips == 1
    database = Database(other.database_url)
    with database.session() as session:
        assert isinstance(session.get_one(Clip, full_here.ada["clip"]).files_gone, datetime)
        assert session.get_one(Clip, full_here.bo["clip"]).files_gone is None
    database.engine.dispose()


def test_a_backup_while_others_write_is_of_one_moment(full: Full, tmp_path: Path) -> None:
    """Each transaction adds a person and counts them in the gym: a backup in between two statements would not agree."""
    stop = threading.Event()

    def write() -> None:
        database = Database(full.settings.database_url)
        while not stop.is_set():
            with database.session() as session:
                gym = session.get_one(Gym, full.club["gym"], with_for_update=True)
                session.add(Person(gym_id=gym.id, role="athlete", name="another"))
                session.flush()
                gym.changes += 1
        database.engine.dispose()

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for n in range(3):
            backup(full.settings, tmp_path / f"backup-{n}")
    finally:
        stop.set()
        writer.join()
    for n in range(3):
        copied = Database(f"sqlite:///{tmp_path / f'backup-{n}' / RECORDS}")
        with copied.session() as session:
            others = session.scalars(select(Person).where(Person.name == "another")).all()
            assert session.get_one(Gym, full.club["gym"]).changes - 3 == len(others)
        copied.engine.dispose()


def test_a_backup_of_a_newer_program_is_refused_in_words(put_by_here: Path, place: Place) -> None:
    with closing(sqlite3.connect(put_by_here / RECORDS)) as records, records:
        records.execute("UPDATE alembic_version SET version_num = '9999'")
    manifest = Manifest.model_validate_json((put_by_here / LIST).read_bytes())
    manifest = manifest.model_copy(update={"records": describe(put_by_here / RECORDS)})
    (put_by_here / LIST).write_text(manifest.model_dump_json())
    with pytest.raises(BadInput, match="newer plumbrep"):
        restore(place("sqlite"), put_by_here)


def test_the_backup_itself_stays_as_it_is(put_by_here: Path, place: Place, tmp_path: Path) -> None:
    shutil.copytree(put_by_here, tmp_path / "copy")
    restore(place("sqlite"), put_by_here)
    old, new = (
        {p.name: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
        for folder in (tmp_path / "copy", put_by_here)
    )
    assert old == new
