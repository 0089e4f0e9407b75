"""Workers with jobs of every kind: many, poisonous, cancelled, deleted, and workers that are told to stop."""

import os
import signal
import time
from collections import Counter
from multiprocessing.context import ForkServerProcess

from sqlalchemy import delete, select

from service.records.clips import Clip
from service.records.running import Beat, Delivery, Webhook
from service.store import ClipFiles
from tests.service.jobs.floor import HEIGHT, Floor


def test_two_workers_share_many_jobs(floor: Floor) -> None:
    clips = [floor.clip("sleep") for _ in range(16)]
    workers = [floor.worker("left"), floor.worker("right")]
    floor.until_ended(*clips)
    floor.require_once(*clips)
    assert Counter(floor.tries()) == Counter(clips)
    assert floor.queue.depth().waiting == 0
    done = {name: (floor.ready / f"{name}.log").read_text().count("clip measured") for name in ("left", "right")}
    assert sum(done.values()) == 16
    assert min(done.values()) > 3
    assert all(worker.is_alive() for worker in workers)


def test_poison_is_contained(sqlite_floor: Floor) -> None:
    """One worker, and it lives on."""
    floor = sqlite_floor
    with floor.database.session() as session:
        events = ["clip.measured", "clip.refused"]
        session.add(Webhook(gym_id=floor.athlete.gym_id, url="https://tool.example", secret="s", events=events))  # noqa: S106
    poison = {each: floor.clip(each) for each in ("segfault", "fail", "memory", "forever", "refuse")}
    mended = [floor.clip("segfault-once"), floor.clip("sleep")]
    worker = floor.worker("only")
    floor.until_ended(*poison.values(), *mended, seconds=60)
    floor.require_once(*mended)
    tries = Counter(floor.tries())
    told = {each: (floor.state(clip), tries[clip]) for each, clip in poison.items()}
    assert told == {
        "segfault": ("failed", 3),
        "fail": ("failed", 3),
        "memory": ("failed", 1),
        "forever": ("failed", 1),
        "refuse": ("refused", 1),
    }
    assert tries[mended[0]] == 2
    reasons = {each: floor.row(clip).reason for each, clip in poison.items()}
    assert reasons["refuse"] == "no person is seen in this clip; film the whole body"
    assert "more than 512 MB" in str(reasons["memory"])
    assert "longer than 5 s" in str(reasons["forever"])
    assert floor.store.size(ClipFiles(poison["refuse"]).proxy)  # a coach can still look at it
    assert worker.is_alive()
    assert list((floor.settings.data / "scratch").iterdir()) == []
    with floor.database.session() as session:
        assert Counter(session.scalars(select(Delivery.event))) == {"clip.measured": 2, "clip.refused": 1}


def test_a_clip_that_kills_its_workers_is_given_up(sqlite_floor: Floor) -> None:
    floor = sqlite_floor
    clip, other = floor.clip("kill_worker"), floor.clip("sleep")
    workers = 0

    def ended() -> bool:
        nonlocal workers
        if not floor.workers or not floor.workers[-1].is_alive():
            workers += 1
            floor.worker("only")
        return floor.state(clip) == "failed"

    floor.until(ended)
    floor.until_ended(other)
    floor.require_once(other)
    assert workers == 4
    assert floor.tries().count(clip) == 3
    assert floor.row(clip).reason == "Measuring this clip ended several workers; tell whoever runs this service."


def test_a_worker_that_only_seemed_dead_does_no_harm(floor: Floor) -> None:
    """It is stopped long enough for its job to be handed on, and then goes on as if nothing had been."""
    clip = floor.clip("sleep 0.7")
    sleeper = floor.worker("sleeper")
    floor.until(lambda: floor.tries() == [clip])
    assert sleeper.pid is not None
    os.kill(sleeper.pid, signal.SIGSTOP)
    floor.worker("other")
    floor.until_ended(clip)
    os.kill(sleeper.pid, signal.SIGCONT)
    later = [floor.clip("sleep 0.2") for _ in range(6)]
    floor.until_ended(*later)
    floor.require_once(clip, *later)
    assert floor.tries().count(clip) == 2
    assert sleeper.is_alive()


def test_a_worker_told_to_stop_finishes_or_hands_back(floor: Floor) -> None:
    short = floor.clip("sleep 1")
    worker = floor.worker("stopping", grace_seconds=4)
    floor.until(lambda: floor.tries() == [short])
    took = _stop(worker)
    assert floor.state(short) == "measured"
    assert took < 8

    long = floor.clip("sleep-once 60")
    worker = floor.worker("stopping", grace_seconds=0.5)
    floor.until(lambda: long in floor.tries())
    took = _stop(worker)
    assert took < 6
    assert floor.queue.depth().waiting == 1  # at once, not when it was missed
    with floor.database.session() as session:
        assert session.scalars(select(Beat.worker)).all() == []
    floor.worker("next")
    floor.until_ended(long)
    floor.require_once(short, long)


def test_a_cancelled_job_stops(sqlite_floor: Floor) -> None:
    floor = sqlite_floor
    running = floor.clip("sleep 60")
    worker = floor.worker("only")
    floor.until(lambda: floor.tries() == [running])
    waiting, next_one = floor.clip("sleep"), floor.clip("sleep")
    floor.queue.cancel(waiting)
    floor.queue.cancel(running)
    floor.until_ended(next_one)
    floor.require_once(next_one)
    floor.until_ended(running, waiting)  # the watchdog gives them an end
    for clip in (running, waiting):
        assert floor.row(clip).reason == "Measuring was cancelled; measure the clip again."
    assert Counter(floor.tries()) == {running: 1, next_one: 1}
    assert worker.is_alive()


def test_a_deleted_clip_stops_its_job_and_leaves_nothing(sqlite_floor: Floor) -> None:
    floor = sqlite_floor
    clip, next_one = floor.clip("sleep 60"), floor.clip("sleep")
    floor.worker("only")
    floor.until(lambda: floor.tries() == [clip])
    with floor.database.session() as session:
        session.execute(delete(Clip).where(Clip.id == clip))
    floor.queue.cancel(clip)
    floor.store.delete(ClipFiles(clip).folder)
    floor.until_ended(next_one)
    floor.require_once(next_one)
    assert list(floor.store.list(ClipFiles(clip).folder)) == []


def test_a_clip_without_a_job_gets_one(sqlite_floor: Floor) -> None:
    """The process died between the two; and one whose files went before it was measured gets an end."""
    floor = sqlite_floor
    lost, bare = floor.stored("sleep"), floor.stored("sleep")
    floor.store.delete(ClipFiles(bare).folder)
    with floor.database.session() as session:
        clip = session.get_one(Clip, bare)
        clip.files_gone = clip.arrived
    floor.worker("only")
    floor.until_ended(lost, bare)
    floor.require_once(lost)
    assert floor.row(bare).reason == "The clip's files are deleted; send the clip again to have it measured."


def test_progress_and_times_are_told(sqlite_floor: Floor) -> None:
    floor = sqlite_floor
    clip = floor.clip("sleep 1.5")
    floor.worker("only")
    floor.until(lambda: floor.row(clip).stage == "following the athlete")
    seen = floor.row(clip)
    assert (seen.state, seen.progress) == ("measuring", 0.5)
    floor.until_ended(clip)
    done = floor.row(clip)
    assert (done.state, done.stage, done.progress, done.reason) == ("measured", None, 1.0, None)
    assert done.stage_seconds is not None
    assert set(done.stage_seconds) == {"fetching", "following the athlete", "keeping"}
    assert 1.2 < done.stage_seconds["following the athlete"] < 10
    series = b"".join(floor.store.stream(ClipFiles(clip).series))
    assert series == f"series of {clip}, {HEIGHT} cm".encode()


def _stop(worker: ForkServerProcess) -> float:
    begun = time.monotonic()
    worker.terminate()
    worker.join(20)
    assert worker.exitcode == 0
    return time.monotonic() - begun
