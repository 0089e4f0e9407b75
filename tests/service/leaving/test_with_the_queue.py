"""Deleting and restoring beside the real queue."""

from pathlib import Path

from sqlalchemy import select

from service.access.actors import OPERATOR
from service.jobs.dbos_queue import opened_queue
from service.leaving.backup import backup
from service.leaving.deleting import delete_athlete
from service.leaving.restore import restore
from service.records import Beat, Clip, Person
from tests.service.leaving.full import ADA, Full, words_in


def test_jobs_of_the_deleted_leave_the_queue(full: Full) -> None:
    with opened_queue(full.settings) as queue:
        queue.submit(full.ada["clip"])
        queue.submit(full.bo["clip"])
        assert queue.depth().waiting == 2
        with full.database.session() as session:
            ada = session.get_one(Person, full.ada["person"])
            delete_athlete(session, full.store, queue, full.settings, OPERATOR, ada)
        assert queue.unfinished_clips() == {full.bo["clip"]}
    assert words_in(full.settings.data, ADA) == []


def test_a_restored_clip_can_be_measured_anew(full: Full, tmp_path: Path) -> None:
    """The queue of before would say that it has measured it already."""
    with full.database.session() as session:
        session.get_one(Clip, full.ada["clip"]).state = "waiting"
        for beat in session.scalars(select(Beat)):
            session.delete(beat)
    backup(full.settings, tmp_path / "backup")
    with opened_queue(full.settings) as queue:
        queue.submit(full.ada["clip"])
        queue.cancel(full.ada["clip"])
        queue.submit(full.ada["clip"])
        assert queue.depth().waiting == 0
    restore(full.settings, tmp_path / "backup", over=True)
    with opened_queue(full.settings) as queue:
        assert queue.depth().waiting == 0
        queue.submit(full.ada["clip"])
        assert queue.depth().waiting == 1
