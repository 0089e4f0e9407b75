"""Clips arrive in a real database and a real store."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, select

from models.errors import ClipError, SensorError
from service.intake.arrive import arrive
from service.intake.examine import examine
from service.intake.facts import Facts
from service.jobs.port import Depth
from service.records.clips import Clip
from service.records.database import Database
from service.records.gyms import Gym, Person
from service.settings import Settings
from service.store import ClipFiles, Store, open_store
from tests.service.intake.phones import found_in, write_clip
from tests.service.s3 import Bucket, bucket, s3_server  # noqa: F401

SENSOR = b'{"document": "plumbrep.sensor/1", "samples": [{"time": 0, "roll": 1.5, "pitch": 0}]}'


@dataclass
class Submitted:
    """A queue that tells what it was given; measuring is tested elsewhere."""

    clips: list[str] = field(default_factory=list)

    def submit(self, clip_id: str, *, again: str = "") -> None:
        assert again == ""
        self.clips.append(clip_id)

    def cancel(self, clip_id: str) -> None:
        raise AssertionError(clip_id)

    def depth(self) -> Depth:
        raise AssertionError


class Door:
    """Everything a clip arrives at."""

    def __init__(self, database: Database, settings: Settings) -> None:
        self.database, self.settings, self.queue = database, settings, Submitted()
        self.store: Store = open_store(settings)
        with database.session() as session:
            gym = Gym(name="Northside", keep_clips_days=10)
            session.add(gym)
            session.flush()
            self.athlete, self.other = (Person(gym_id=gym.id, role="athlete", name=name) for name in ("Ada", "Bo"))
            session.add_all([self.athlete, self.other])

    def arrive(
        self,
        file: Path,
        athlete: Person | None = None,
        *,
        sensor: bytes | None = None,
        filmed: datetime | None = None,
        fail: bool = False,
    ) -> Clip:
        with self.database.session() as session:
            clip = arrive(
                session,
                self.store,
                self.queue,
                self.settings,
                file,
                athlete or self.athlete,
                prescription_version=None,
                movement="push-up",
                hold=None,
                sensor=sensor,
                filmed=filmed,
            )
            if fail:
                raise RuntimeError("the caller's own fault")
        return clip

    def count(self) -> int:
        with self.database.session() as session:
            return session.scalar(select(func.count()).select_from(Clip)) or 0

    def scratch(self) -> list[Path]:
        return list((self.settings.data / "scratch").glob("*"))


@pytest.fixture
def door(database: Database, tmp_path: Path) -> Door:
    return Door(database, Settings(data=tmp_path / "data"))


@pytest.fixture(scope="session")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_clip(tmp_path_factory.mktemp("phones") / "clip.mp4", options={"movflags": "+use_metadata_tags"})


def test_a_clip_arrives(door: Door, clip: Path) -> None:
    before = clip.read_bytes()
    came = door.arrive(clip)
    assert (came.state, came.movement, came.container, came.athlete_id) == (
        "waiting",
        "push-up",
        "mp4",
        door.athlete.id,
    )
    assert came.filmed == datetime(2026, 10, 5, 9, 30, tzinfo=UTC)
    assert came.expires == came.arrived + timedelta(days=10)
    assert came.sha256 != came.source_sha256
    key = ClipFiles(came.id).clip("mp4")
    assert list(door.store.list("clips")) == [key]
    assert door.store.size(key) == came.bytes
    assert door.queue.clips == [came.id]
    assert clip.read_bytes() == before
    assert door.scratch() == []


def test_nothing_private_lies_anywhere(door: Door, clip: Path) -> None:
    assert found_in(clip)
    door.arrive(clip)
    files = [path for path in door.settings.data.rglob("*") if path.is_file()]
    assert files
    assert set().union(*map(found_in, files)) == set()


def test_the_same_clip_twice_is_one(door: Door, clip: Path) -> None:
    first, second = door.arrive(clip), door.arrive(clip)
    assert first.id == second.id
    assert door.count() == 1
    assert len(list(door.store.list("clips"))) == 1
    assert door.queue.clips == [first.id, first.id]  # waiting still: perhaps its job was lost; the queue keeps one


def test_a_measured_clip_sent_again_is_not_queued(door: Door, clip: Path) -> None:
    first = door.arrive(clip)
    with door.database.session() as session:
        session.get_one(Clip, first.id).state = "measured"
    assert door.arrive(clip).id == first.id
    assert door.queue.clips == [first.id]


def test_the_same_clip_of_another_athlete_is_another(door: Door, clip: Path) -> None:
    assert door.arrive(clip).id != door.arrive(clip, door.other).id
    assert door.count() == 2


def test_the_same_clip_twice_at_once_is_one(door: Door, clip: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The other request comes in while this one still looks into the file."""
    others = []

    def overtaken(file: Path, to: Path, settings: Settings) -> Facts:
        monkeypatch.setattr("service.intake.arrive.examine", examine)
        others.append(door.arrive(clip))
        return examine(file, to, settings)

    monkeypatch.setattr("service.intake.arrive.examine", overtaken)
    assert door.arrive(clip).id == others[0].id
    assert door.count() == 1
    assert list(door.store.list("clips")) == [ClipFiles(others[0].id).clip("mp4")]


def test_a_refused_clip_leaves_nothing(door: Door, tmp_path: Path) -> None:
    (tmp_path / "page.mp4").write_bytes(b"<html>")
    with pytest.raises(ClipError):
        door.arrive(tmp_path / "page.mp4")
    assert (door.count(), list(door.store.list("clips")), door.queue.clips, door.scratch()) == (0, [], [], [])


def test_no_job_is_submitted_for_what_is_not_committed(door: Door, clip: Path) -> None:
    with pytest.raises(RuntimeError):
        door.arrive(clip, fail=True)
    assert (door.count(), door.queue.clips) == (0, [])


def test_a_sensor_track_comes_along(door: Door, clip: Path) -> None:
    came = door.arrive(clip, sensor=SENSOR)
    assert came.sensor
    assert b"".join(door.store.stream(ClipFiles(came.id).sensor)) == SENSOR


def test_a_broken_sensor_track_is_refused_with_its_clip(door: Door, clip: Path) -> None:
    with pytest.raises(SensorError, match=r"the sensor track is no sensor track: samples"):
        door.arrive(clip, sensor=b'{"document": "plumbrep.sensor/1", "samples": []}')
    assert (door.count(), list(door.store.list("clips"))) == (0, [])


def test_the_athletes_word_on_the_day_counts_first(door: Door, clip: Path) -> None:
    said = datetime(2026, 10, 4, 18, tzinfo=UTC)
    assert door.arrive(clip, filmed=said).filmed == said


def test_on_a_bucket(sqlite_database: Database, bucket: Bucket, tmp_path: Path, clip: Path) -> None:  # noqa: F811
    door = Door(sqlite_database, Settings(data=tmp_path / "data", **bucket.settings))
    came = door.arrive(clip, sensor=SENSOR)
    contents = bucket.contents()
    assert sorted(contents) == [f"some/prefix/clips/{came.id}/{name}" for name in ("clip.mp4", "sensor.json")]
    assert len(contents[f"some/prefix/clips/{came.id}/clip.mp4"]) == came.bytes
