"""A worker: takes clips from the queue, measures them, shows that it lives, and watches over the others."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread, current_thread, main_thread
from time import monotonic
from typing import Final

import structlog
from sqlalchemy.exc import SQLAlchemyError

from service.jobs.dbos_queue import DbosQueue, opened_queue
from service.jobs.dbos_runner import Steps, running_jobs
from service.jobs.measure import COMMAND, measuring
from service.jobs.watchdog import Watchdog
from service.records.base import now
from service.records.database import Database
from service.records.running import Beat
from service.settings import Settings
from service.signals import told_to_stop
from service.store import open_store

BEAT: Final = 5.0
"""Seconds between two beats, or less where silence is noticed sooner."""
GRACE: Final = 6.0
"""Seconds that a running job has after the worker was told to stop: supervisors usually wait ten before they kill."""

log = structlog.get_logger(__name__)


def run_worker(
    settings: Settings,
    name: str,
    *,
    command: tuple[str, ...] = COMMAND,
    poll_seconds: float = 1.0,
    pause_seconds: float = 5.0,
    grace_seconds: float = GRACE,
) -> None:
    """Work until the process is told to stop (SIGTERM, SIGINT).

    A running job that does not end within `grace_seconds` then goes back into the queue.

    Args:
        settings: Of the service.
        name: This worker's own among all, and the same after it was started anew: it then resumes what it left.
        command: The child process that measures one clip.
        poll_seconds: How often an idle worker looks for a job.
        pause_seconds: The pause before a failed clip's second try; four times as long before the third.
        grace_seconds: See above.
    """
    database, stop = Database(settings.database_url), _Stop(grace_seconds)
    with opened_queue(settings) as queue, _signals(stop.ask):
        work = measuring(
            settings,
            name,
            database,
            open_store(settings),
            command=command,
            still_mine=lambda job_id: queue.held_by(job_id, name),
            out_of_time=stop.out_of_time,
        )
        beat = _Beating(database, name)
        beat.beat()
        steps = Steps(work.begin, work.attempt, work.give_up)
        options = {"poll_seconds": poll_seconds, "pause_seconds": pause_seconds, "grace_seconds": grace_seconds + 2}
        with running_jobs(settings, name, steps, **options):
            log.info("worker started", worker=name)
            _watch_over(settings, database, queue, beat, stop)
        handed = queue.hand_back(name)
        beat.end()
        log.info("worker stopped", worker=name, handed_back=handed)
    database.engine.dispose()


def _watch_over(settings: Settings, database: Database, queue: DbosQueue, beat: "_Beating", stop: "_Stop") -> None:
    watchdog = Watchdog(database, queue, settings.silent_seconds)
    pause = min(BEAT, settings.silent_seconds / 4)
    while not stop.asked.wait(pause):
        try:
            beat.beat()
            watchdog.look()
        except SQLAlchemyError as fault:  # the database may come back; the running job needs this process
            log.warning("database out of reach", error=str(fault).split("\n", 1)[0])


class _Stop:
    """Whether the worker was told to stop, and how long ago."""

    def __init__(self, grace_seconds: float) -> None:
        self.asked = Event()
        self._grace = grace_seconds
        self._deadline = float("inf")

    def ask(self) -> None:
        self._deadline = min(self._deadline, monotonic() + self._grace)
        self.asked.set()

    def out_of_time(self) -> bool:
        return monotonic() > self._deadline


class _Beating:
    """The worker's signs of life."""

    def __init__(self, database: Database, name: str) -> None:
        self._database, self._name, self._started = database, name, now()

    def beat(self) -> None:
        with self._database.session() as session:
            session.merge(Beat(worker=self._name, started=self._started, seen=now()))

    def end(self) -> None:
        with self._database.session() as session:
            if beat := session.get(Beat, self._name):
                session.delete(beat)


@contextmanager
def _signals(ask: Callable[[], None]) -> Iterator[None]:
    """Be told by signals to stop; only the main thread may ask for that."""
    if current_thread() is not main_thread():
        yield
        return

    # In a thread of its own: the main one may be interrupted inside the event's lock, which it would then wait for for ever.
    with told_to_stop(lambda _number, _frame: Thread(target=ask).start()):
        yield
