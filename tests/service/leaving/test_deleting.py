"""What is deleted is gone from the rows, the files, the queue and the pages of the database."""

import hashlib
from collections.abc import Callable

import pytest
from sqlalchemy import select

from service.access.actors import OPERATOR, Actor
from service.leaving.deleting import delete_athlete, delete_clip
from service.records import Audit, Base, Clip, Deleted, Gym, Person
from service.store import ClipFiles
from tests.service.leaving.full import ADA, BO, CLUB, HOUSE, Full, words_in

OWN = set(Base.metadata.tables) - HOUSE
KEPT_WITHOUT_THE_CLIP = {
    "factor",
    "person",
    "consent",
    "link",
    "session",
    "prescription",
    "prescription_version",
    "pain_report",
}


def delete_ada(full: Full, actor: Actor | None = OPERATOR) -> None:
    with full.database.session() as session:
        ada = session.get_one(Person, full.ada["person"])
        delete_athlete(session, full.store, full.queue, full.settings, actor, ada)


def delete_adas_clip(full: Full, actor: Actor | None = OPERATOR) -> None:
    with full.database.session() as session:
        clip = session.get_one(Clip, full.ada["clip"])
        delete_clip(session, full.store, full.queue, full.settings, actor, clip)


def test_every_table_has_something_of_hers(full: Full) -> None:
    assert {name for name, rows in full.rows().items() if rows} == set(Base.metadata.tables)
    told = full.tables_with(ADA)
    assert {"person", "clip", "note", "answered", "delivery", "upload", "measurement", "prescription_version"} <= told
    assert told <= OWN
    assert len(list(full.store.list(f"clips/{full.ada['clip']}"))) == 5
    assert len(words_in(full.settings.data, ADA)) >= 2


def test_an_athlete_goes_from_every_table(full: Full) -> None:
    before = full.rows()
    delete_ada(full)
    after = full.rows()
    assert full.tables_with(ADA) == set()
    for table in OWN:
        assert len(after[table]) == len(before[table]) - 1, table
        assert set(map(repr, after[table])) <= set(map(repr, before[table])), table


def test_an_athlete_goes_from_every_file(full: Full) -> None:
    sums = [
        hashlib.sha256(b"".join(full.store.stream(key))).hexdigest()
        for key in full.store.list(ClipFiles(full.ada["clip"]).folder)
    ]
    delete_ada(full)
    assert sorted(full.store.list("clips")) == sorted(full.store.list(ClipFiles(full.bo["clip"]).folder))
    assert words_in(full.settings.data, ADA) == []
    for digest in sums:
        assert words_in(full.settings.data, digest) == []
    assert full.queue.clips == [full.ada["clip"]]
    assert words_in(full.settings.data, BO)


def test_others_are_left_alone(full: Full) -> None:
    keys = sorted(full.store.list(ClipFiles(full.bo["clip"]).folder))
    before = full.tables_with(BO), full.tables_with(CLUB)
    delete_ada(full)
    assert (full.tables_with(BO), full.tables_with(CLUB)) == before
    assert sorted(full.store.list("clips")) == keys


def test_a_clip_goes_and_its_athlete_stays(full: Full) -> None:
    before = full.rows()
    delete_adas_clip(full)
    after = full.rows()
    for table in OWN:
        gone = len(before[table]) - len(after[table])
        assert gone == (table not in KEPT_WITHOUT_THE_CLIP), table
    assert full.ada["clip"] not in repr(
        {name: rows for name, rows in after.items() if name not in {"deleted", "audit"}}
    )
    assert list(full.store.list(ClipFiles(full.ada["clip"]).folder)) == []
    assert words_in(full.settings.data / "uploads", ADA) == []
    assert full.queue.clips == [full.ada["clip"]]


@pytest.mark.parametrize("delete", [delete_ada, delete_adas_clip])
def test_tombstone_and_audit_hold_identifiers_alone(full: Full, delete: Callable[[Full, Actor], None]) -> None:
    actor = Actor("owner", gym_id=full.club["gym"], person_id=full.bo["person"])
    delete(full, actor)
    what = "person" if delete is delete_ada else "clip"
    with full.database.session() as session:
        (tombstone,) = session.scalars(select(Deleted).where(Deleted.resource_id == full.ada[what]))
        assert (tombstone.resource, tombstone.gym_id) == (what, full.club["gym"])
        assert tombstone.changed == session.get_one(Gym, full.club["gym"]).changes == 4
        (row,) = session.scalars(select(Audit).where(Audit.resource_id == full.ada[what]))
        assert (row.actor, row.actor_id, row.action, row.resource, row.detail) == (
            "owner", full.bo["person"], "deleted", what, None,
        )  # fmt: skip


def test_nothing_goes_if_the_caller_fails(full: Full) -> None:
    before, keys = full.rows(), sorted(full.store.list("clips"))

    def fail_after() -> None:
        with full.database.session() as session:
            ada = session.get_one(Person, full.ada["person"])
            delete_athlete(session, full.store, full.queue, full.settings, OPERATOR, ada)
            raise RuntimeError("the caller's own fault")

    with pytest.raises(RuntimeError):
        fail_after()
    assert full.rows() == before
    assert sorted(full.store.list("clips")) == keys
    assert full.queue.clips == []
    assert words_in(full.settings.data / "uploads", ADA)


def test_files_go_even_if_the_queue_fails(full_here: Full, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(clip_id: str) -> None:
        raise ConnectionError(clip_id)

    monkeypatch.setattr(full_here.queue, "cancel", fail)
    with pytest.raises(ConnectionError):
        delete_ada(full_here)
    assert full_here.tables_with(ADA) == set()
    assert list(full_here.store.list(ClipFiles(full_here.ada["clip"]).folder)) == []


def test_a_reader_in_between_delays_erasing_but_breaks_nothing(
    full_here: Full, monkeypatch: pytest.MonkeyPatch
) -> None:
    from service.leaving import erasing

    monkeypatch.setattr(erasing, "PATIENCE", 0.05)
    with full_here.database.engine.connect() as reader:
        reader.exec_driver_sql("BEGIN")
        reader.execute(select(Person)).all()
        delete_ada(full_here)
        reader.rollback()
    assert erasing.erase_freed_pages(full_here.settings)
    assert words_in(full_here.settings.data, ADA) == []
