"""The queue on DBOS: its tables lie beside the records, in a file (SQLite) or a schema (PostgreSQL) of their own.

Of their own because a job is submitted while the records' transaction may still hold SQLite's only write lock, and
because a backup of the records needs none of it: the watchdog submits clips that wait without a job.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from time import time
from typing import Any, Final

from dbos import DBOS, DBOSClient
from dbos._serialization import DBOSPortableJSON
from sqlalchemy import create_engine, func, make_url, select, text

from service.jobs.port import Depth
from service.settings import Settings

APPLICATION: Final = "plumbrep"
QUEUE: Final = "clips"
JOB: Final = "measure_clip"
VERSION: Final = "1"
"""Of the job's steps. Workers take up only jobs of their own version: raise it when steps change their order or meaning."""
SCHEMA: Final = "jobs"
ENQUEUED: Final = ("ENQUEUED", "DELAYED")
RUNNING: Final = "PENDING"
DONE: Final = "SUCCESS"


@dataclass(frozen=True)
class Job:
    """A job as the queue knows it."""

    id: str
    status: str
    """DBOS's word: ENQUEUED, DELAYED, PENDING, SUCCESS, ERROR, CANCELLED, MAX_RECOVERY_ATTEMPTS_EXCEEDED."""
    worker: str | None

    @property
    def clip_id(self) -> str:
        """The clip that it measures."""
        return self.id.partition(".")[0]

    @property
    def unfinished(self) -> bool:
        """Waits or runs."""
        return self.status in {*ENQUEUED, RUNNING}


def queue_url(database_url: str) -> str:
    """Where the queue's tables are, for a database's address."""
    url = make_url(database_url)
    if url.get_backend_name() == "sqlite":
        url = url.set(database=f"{(url.database or '').removesuffix('.db')}-jobs.db")
    return url.render_as_string(hide_password=False)


def prepare(settings: Settings) -> None:
    """Make the queue's tables, or bring them up to date; several processes may do so at once."""
    url = queue_url(settings.database_url)
    if url.startswith("sqlite"):
        engine = create_engine(url)
        with engine.connect() as connection:
            connection.execute(text("PRAGMA journal_mode=WAL"))  # the file keeps it
        engine.dispose()
    DBOS.migrate(url, schema=SCHEMA)


class DbosQueue:
    """Puts jobs into the queue and looks after them; runs none.

    A database that cannot be reached is an error here, not a wait: whoever asks has a user waiting, or asks again.
    """

    def __init__(self, settings: Settings) -> None:
        self._client = DBOSClient(
            system_database_url=queue_url(settings.database_url),
            dbos_system_schema=SCHEMA,
            serializer=DBOSPortableJSON,
            application_name=APPLICATION,
            retry_connection_errors=False,
        )
        # What follows has no public name in DBOS 3.4.0: counting in the database, and handing on only what a dead worker
        # still holds. `resume_workflow` would take a job from the living worker that another watchdog just gave it to,
        # and forget how often it has been tried.
        self._tables = self._client._sys_db  # noqa: SLF001

    def submit(self, clip_id: str, *, again: str = "") -> None:
        """Have a clip measured; with the same `clip_id` and `again`, once, however often it is called."""
        job_id = f"{clip_id}.{again}" if again else clip_id
        self._client.enqueue(
            {"queue_name": QUEUE, "workflow_name": JOB, "workflow_id": job_id, "app_version": VERSION}, clip_id
        )

    def cancel(self, clip_id: str) -> None:
        """Take a clip's jobs out of the queue and stop one that runs; nothing happens where there is none."""
        self._client.cancel_workflows([job.id for job in self.jobs_of(clip_id) if job.unfinished])

    def depth(self) -> Depth:
        """How busy the queue is."""
        row = self._tables.tables.workflow_status.c
        counted = select(row.status, func.count(), func.min(row.created_at)).where(
            row.name == JOB, row.status.in_([*ENQUEUED, RUNNING])
        )
        with self._tables.engine.connect() as connection:
            found = {status: (n, oldest) for status, n, oldest in connection.execute(counted.group_by(row.status))}
        waiting = [found[status] for status in ENQUEUED if status in found]
        oldest = min((since for _, since in waiting), default=None)
        return Depth(
            waiting=sum(n for n, _ in waiting),
            running=found.get(RUNNING, (0, None))[0],
            oldest_seconds=0.0 if oldest is None else max(0.0, time() - oldest / 1000),
        )

    def running(self) -> list[Job]:
        """Jobs that workers have taken up."""
        return self._jobs(status=RUNNING)

    def unfinished_clips(self) -> set[str]:
        """Clips whose job waits or runs."""
        return {job.clip_id for job in self._jobs(status=[*ENQUEUED, RUNNING])}

    def jobs_of(self, clip_id: str) -> list[Job]:
        """All jobs of a clip, oldest first."""
        return [job for job in self._jobs(workflow_id_prefix=clip_id) if job.clip_id == clip_id]

    def held_by(self, job_id: str, worker: str) -> bool:
        """Whether a job is still this worker's: neither cancelled nor handed on."""
        return any(job.status == RUNNING and job.worker == worker for job in self._jobs(workflow_ids=[job_id]))

    def hand_on(self, worker: str) -> list[str]:
        """Put what a dead worker left back into the queue, with its tries counted; several may do so at once."""
        left = [job.id for job in self.running() if job.worker == worker]
        return [job_id for job_id in left if self._tables.reenqueue_for_recovery(job_id, [worker], QUEUE)]

    def hand_back(self, worker: str) -> list[str]:
        """Put what a worker cannot finish, being told to stop, back into the queue; that is no failed try."""
        left = [job.id for job in self.running() if job.worker == worker]
        for job_id in left:
            self._client.resume_workflow(job_id, queue_name=QUEUE)
        return left

    def close(self) -> None:
        """Let go of the database."""
        self._client.destroy()

    def _jobs(self, **asked: Any) -> list[Job]:
        found = self._client.list_workflows(name=JOB, load_input=False, load_output=False, **asked)
        return [Job(each.workflow_id, each.status, each.executor_id) for each in found]


@contextmanager
def opened_queue(settings: Settings) -> Iterator[DbosQueue]:
    """The queue of the settings, its tables made if they are missing."""
    prepare(settings)
    queue = DbosQueue(settings)
    try:
        yield queue
    finally:
        queue.close()
