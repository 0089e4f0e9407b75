"""A place where workers work: a database, a store, a queue, and real worker processes that tests kill.

Workers are forked from a server process that has imported everything once, since the imports take seconds each.
"""

import multiprocessing
import os
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from multiprocessing.context import ForkServerProcess
from pathlib import Path
from typing import Any, Final

import structlog
from sqlalchemy import func, select
from structlog.processors import JSONRenderer

from service.jobs import measure
from service.jobs.dbos_queue import DbosQueue, opened_queue
from service.jobs.worker import run_worker
from service.records.clips import Clip
from service.records.database import Database
from service.records.gyms import Gym, Person
from service.records.prescriptions import Prescription, PrescriptionVersion
from service.records.results import Effort, Measurement
from service.settings import Settings
from service.store import ClipFiles, Store, open_store
from tests.by_hand import push_ups

QUICK = Path(__file__).with_name("quick_child.py")
PRESCRIBED = 'movement = "push-up"\nreps = 3\ntempo = "3-0-1-0"\n'
HEIGHT = 172.0

forkserver = multiprocessing.get_context("forkserver")
forkserver.set_forkserver_preload([__name__])


@dataclass
class Floor:
    """What a test sees of it."""

    settings: Settings
    database: Database
    store: Store
    queue: DbosQueue
    ready: Path
    """The folder that the quick child works with."""
    athlete: Person
    version: PrescriptionVersion
    workers: list[ForkServerProcess] = field(default_factory=list)

    def clip(self, behaviour: str, kill: str = "", **columns: Any) -> str:
        """A clip that has arrived, its job submitted; `kill`: the point at which its worker is killed, once."""
        clip_id = self.stored("kill_worker-once" if kill == IN_THE_CHILD else behaviour, **columns)
        if kill in KILL_POINTS:
            (self.ready / f"{clip_id}.{kill}").touch()
        self.queue.submit(clip_id)
        return clip_id

    def stored(self, behaviour: str | Path, **columns: Any) -> str:
        """A clip that has arrived, without a job."""
        given = {"container": "mp4", "prescription_version_id": self.version.id} | columns
        with self.database.session() as session:
            clip = Clip(
                gym_id=self.athlete.gym_id,
                athlete_id=self.athlete.id,
                source_sha256=os.urandom(32).hex(),
                sha256="0" * 64,
                bytes=1,
                seconds=1.0,
                **given,
            )
            session.add(clip)
            session.flush()
            source = behaviour if isinstance(behaviour, Path) else self.ready / clip.id
            if isinstance(behaviour, str):
                source.write_text(f"{clip.id} {behaviour}")
            self.store.put(ClipFiles(clip.id).clip(clip.container), source)
        return clip.id

    def worker(self, name: str, environment: Mapping[str, str] | None = None, **options: Any) -> ForkServerProcess:
        """Start a worker, with these variables in its environment."""
        command = (sys.executable, str(QUICK), str(self.ready))
        options = {"command": command, "poll_seconds": 0.1, "pause_seconds": 0.05} | options
        process = forkserver.Process(
            target=_work, args=(self.settings, name, self.ready, environment or {}, options), daemon=True
        )
        process.start()
        self.workers.append(process)
        return process

    def until(self, done: Callable[[], bool], seconds: float = 90) -> None:
        """Wait."""
        deadline = time.monotonic() + seconds
        while not done():
            if time.monotonic() > deadline:
                raise AssertionError(f"not after {seconds} s: {self.states()}, {self.queue.depth()}")
            time.sleep(0.05)

    def until_ended(self, *clips: str, seconds: float = 90) -> None:
        """Wait until clips have an end, of whatever kind."""
        self.until(lambda: not {self.state(clip) for clip in clips} & {"waiting", "measuring"}, seconds)

    def row(self, clip_id: str) -> Clip:
        with self.database.session() as session:
            return session.get_one(Clip, clip_id)

    def state(self, clip_id: str) -> str:
        return self.row(clip_id).state

    def states(self) -> Mapping[str, int]:
        with self.database.session() as session:
            return Counter(session.scalars(select(Clip.state)))

    def tries(self) -> list[str]:
        """The clips that children have begun to measure, in order, again and again."""
        log = self.ready / "log.txt"
        return [line.split()[0] for line in log.read_text().splitlines()] if log.exists() else []

    def children(self) -> list[int]:
        """Processes of children, past ones too."""
        return [int(line.split()[1]) for line in (self.ready / "log.txt").read_text().splitlines()]

    def require_once(self, *clips: str) -> None:
        """Each clip is measured once with effect: one measurement, its three reps, its files; and no job is left."""
        with self.database.session() as session:
            for clip_id in clips:
                assert session.get_one(Clip, clip_id).state == "measured", session.get_one(Clip, clip_id).reason
                rows = session.scalars(select(Measurement).where(Measurement.clip_id == clip_id)).all()
                assert [row.current for row in rows] == [True]
                assert session.scalar(select(func.count()).where(Effort.clip_id == clip_id)) == 3
                files = {key.rpartition("/")[2] for key in self.store.list(ClipFiles(clip_id).folder)}
                assert files == {"clip.mp4", "proxy.mp4", "series.npz"}
        # The records say so a moment before the queue does.
        self.until(lambda: not self.queue.unfinished_clips() & set(clips))

    def stop(self) -> None:
        """End the workers that are left."""
        for process in self.workers:
            process.kill()
            process.join()


@contextmanager
def open_floor(settings: Settings, ready: Path, prescribed: str = PRESCRIBED) -> Iterator[Floor]:
    """A floor without workers, on a database that has its tables."""
    ready.mkdir()
    (ready / "document.json").write_text(push_ups().model_dump_json())
    database = Database(settings.database_url)
    with database.session() as session:
        gym = Gym(name="Kellerturnen")
        session.add(gym)
        session.flush()
        athlete = Person(gym_id=gym.id, role="athlete", name="Ada", height_cm=HEIGHT)
        session.add(athlete)
        session.flush()
        prescription = Prescription(gym_id=gym.id, athlete_id=athlete.id, movement="push-up")
        session.add(prescription)
        session.flush()
        version = PrescriptionVersion(
            gym_id=gym.id, prescription_id=prescription.id, n=1, text=prescribed, variant="push-up"
        )
        session.add(version)
    with opened_queue(settings) as queue:
        floor = Floor(settings, database, open_store(settings), queue, ready, athlete, version)
        try:
            yield floor
        finally:
            floor.stop()
    database.engine.dispose()


def _work(settings: Settings, name: str, ready: Path, environment: Mapping[str, str], options: dict[str, Any]) -> None:
    """In the worker's process."""
    os.environ.update(environment)
    log = os.open(ready / f"{name}.log", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    os.dup2(log, 1)
    os.dup2(log, 2)
    # The usual renderer of tracebacks takes longer than a worker may be silent.
    structlog.configure([structlog.contextvars.merge_contextvars, structlog.processors.format_exc_info, JSONRenderer()])
    for point, (owner, function, after) in KILL_POINTS.items():
        _kill_at(ready, point, owner, function, after=after)
    run_worker(settings, name, **options)


def _kill_at(ready: Path, point: str, owner: Any, function: str, *, after: bool) -> None:
    """Have this process killed before or after a function, where its clip is marked so; marks are for once."""
    original = getattr(owner, function)

    def killed(*arguments: Any) -> Any:
        given = original(*arguments) if after else None
        marks = [mark for clip in _clips_in(arguments) if (mark := ready / f"{clip}.{point}").exists()]
        if marks:
            marks[0].unlink()
            os.kill(os.getpid(), signal.SIGKILL)
        return given if after else original(*arguments)

    setattr(owner, function, killed)


def _clips_in(arguments: tuple[Any, ...]) -> list[str]:
    """Identifiers of clips among a step's arguments: as such, or of a value that has one."""
    named = [getattr(each, "clip_id", getattr(each, "id", each)) for each in arguments]
    return [each for each in named if isinstance(each, str)]


KILL_POINTS: Mapping[str, tuple[Any, str, bool]] = {
    "after beginning": (measure.Measuring, "begin", True),
    "before the child": (measure.Measuring, "_fetch", True),
    "after the child": (measure.Measuring, "_put", False),
    "before keeping": (measure.Measuring, "_keep", False),
    "while keeping": (measure, "keep_measurement", True),
    "after keeping": (measure.Measuring, "_keep", True),
    "after the try": (measure.Measuring, "attempt", True),
}
"""Whose function, and whether the process is killed after it (True) or before."""
IN_THE_CHILD: Final = "in the child"
"""By the child itself."""
