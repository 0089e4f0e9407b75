"""What has had its time goes, and nothing else does."""

import os
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from service.leaving.tidy import Tidied, tidy
from service.records import Answered, Beat, Clip, Delivery, Link, Tally, Upload
from service.records import Session as SignedIn
from service.store import ClipFiles
from tests.service.leaving.full import ADA, NOW, Full, count, words_in

DAY = timedelta(days=1)


def tidied(full: Full, now: datetime) -> Tidied:
    with full.database.session() as session:
        return tidy(session, full.store, full.settings, now)


def age(path: Path, moment: datetime) -> None:
    """Let a file or folder look as if it was written then."""
    os.utime(path, (moment.timestamp(), moment.timestamp()))


def test_nothing_goes_before_its_time(full: Full) -> None:
    before, keys = full.rows(), sorted(full.store.list("clips"))
    assert tidied(full, NOW) == Tidied(clips=0, uploads=0, backups=0, rows=0, strays=0)
    assert full.rows() == before
    assert sorted(full.store.list("clips")) == keys


def test_an_expired_clip_loses_its_files_and_keeps_its_numbers(full: Full) -> None:
    with full.database.session() as session:
        session.get_one(Clip, full.ada["clip"]).expires = NOW
    before = full.rows()
    assert tidied(full, NOW).clips == 1
    assert list(full.store.list(ClipFiles(full.ada["clip"]).folder)) == []
    assert len(list(full.store.list(ClipFiles(full.bo["clip"]).folder))) == 5
    assert {name: len(rows) for name, rows in full.rows().items()} == {name: len(rows) for name, rows in before.items()}
    with full.database.session() as session:
        clip = session.get_one(Clip, full.ada["clip"])
        assert (clip.files_gone, clip.state) == (NOW, "measured")
    assert tidied(full, NOW).clips == 0


def test_a_clip_whose_time_is_over_before_it_was_measured_says_so(full_here: Full) -> None:
    with full_here.database.session() as session:
        clip = session.get_one(Clip, full_here.ada["clip"])
        clip.expires, clip.state = NOW, "waiting"
    tidied(full_here, NOW)
    with full_here.database.session() as session:
        clip = session.get_one(Clip, full_here.ada["clip"])
        assert clip.state == "refused"
        assert "time was over before it was measured" in (clip.reason or "")


def test_an_upload_that_stopped_goes_with_its_files(full: Full) -> None:
    with full.database.session() as session:
        session.get_one(Upload, full.ada["upload"]).expires = NOW
    assert tidied(full, NOW).uploads == 1
    assert words_in(full.settings.data / "uploads", ADA) == []
    assert count(full.database, Upload) == 1
    assert len(list((full.settings.data / "uploads").iterdir())) == 2


def test_entries_grow_old(full: Full) -> None:
    assert tidied(full, NOW + DAY / 2).rows == 2  # both sign-ins
    assert count(full.database, SignedIn) == 0
    assert tidied(full, NOW + DAY).rows == 3
    assert (count(full.database, Answered), count(full.database, Beat)) == (0, 0)
    assert tidied(full, NOW + 2 * DAY).rows == 1
    assert count(full.database, Tally) == 0
    assert tidied(full, NOW + 39 * DAY).rows == 2
    assert (count(full.database, Link), count(full.database, Delivery)) == (0, 2)  # what is still to be sent stays


def test_an_old_backup_goes_and_a_young_one_stays(full_here: Full) -> None:
    place = full_here.settings.data / "backups"
    for name, days in (("old", 30), ("young", 29), ("died.part", 1), ("growing.part", 0)):
        (place / name / "clips").mkdir(parents=True)
        (place / name / "records.db").write_text(ADA)
        age(place / name, NOW - days * DAY)
    assert tidied(full_here, NOW).backups == 2
    assert {path.name for path in place.iterdir()} == {"young", "growing.part"}


@pytest.mark.parametrize(("hours", "gone"), [(23, False), (25, True)])
def test_what_a_crash_left_goes_after_a_day(full_here: Full, hours: int, gone: bool) -> None:
    data = full_here.settings.data
    left = [data / "clips" / "nobodys" / "clip.mp4", data / "scratch" / "died", data / "uploads" / "nobodys.part"]
    for path in left:
        path.parent.mkdir(exist_ok=True)
        path.write_text(ADA)
        age(path, NOW - timedelta(hours=hours))
    assert list(full_here.store.list("clips/nobodys"))
    tidied(full_here, NOW)
    assert [path.exists() for path in left] == [not gone] * 3


def test_a_store_beside_an_empty_database_is_left_alone(full_here: Full) -> None:
    """As if the settings named another installation's store."""
    with full_here.database.session() as session:
        for person in (full_here.ada, full_here.bo):
            session.delete(session.get_one(Clip, person["clip"]))
    tidied(full_here, datetime.now(NOW.tzinfo) + 2 * DAY)
    assert len(list(full_here.store.list("clips"))) == 10
