"""Runs jobs in this process on DBOS, one at a time."""

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from math import ceil
from typing import Any, Final

from dbos import DBOS
from dbos._serialization import DBOSPortableJSON

from service.jobs.dbos_queue import APPLICATION, JOB, QUEUE, SCHEMA, VERSION, prepare, queue_url
from service.settings import Settings

TRIES: Final = 3
RECOVERIES: Final = TRIES - 1
"""How often a job is taken up anew after its worker died: a clip that kills workers has no more tries than another."""

PATIENT: Final[dict[str, Any]] = {"retries_allowed": True, "max_attempts": 6}
"""For steps that only write a row: the records may be out of reach for half a minute."""


@dataclass(frozen=True)
class Steps:
    """What a job does. DBOS keeps what each step gave, so that a job taken up anew does not repeat one that ended."""

    begin: Callable[[str], None]
    """(clip) once, before all else."""
    attempt: Callable[[str, str], str | None]
    """(job, clip) -> what went wrong, where another try may help."""
    give_up: Callable[[str, str], None]
    """(clip, what went wrong) after the last try."""


@contextmanager
def running_jobs(
    settings: Settings, worker: str, steps: Steps, *, poll_seconds: float, pause_seconds: float, grace_seconds: float
) -> Iterator[None]:
    """Run jobs as they come, until the block ends; then no new one is begun, and the running one has `grace_seconds`.

    Args:
        settings: Where the queue is.
        worker: The name that this worker alone has, and has again after it was started anew: what it left is resumed.
        steps: What a job does.
        poll_seconds: How often an idle worker looks for a job.
        pause_seconds: The pause before the second try; before the third it is four times as long.
        grace_seconds: How long the end of the block waits for the running job.
    """
    prepare(settings)
    _register(steps, pause_seconds)
    DBOS(
        config={
            "name": APPLICATION,
            "system_database_url": queue_url(settings.database_url),
            "dbos_system_schema": SCHEMA,
            "serializer": DBOSPortableJSON,
            "application_version": VERSION,
            "executor_id": worker,
            "use_listen_notify": False,
            "sys_db_pool_size": 4,
            "log_level": "WARNING",
        }
    )
    _log_as_the_rest()
    DBOS.listen_queues([QUEUE])
    DBOS.launch()
    DBOS.register_queue(QUEUE, worker_concurrency=1, polling_interval_sec=poll_seconds, on_conflict="always_update")
    try:
        yield
    finally:
        DBOS.destroy(destroy_registry=True, workflow_completion_timeout_sec=ceil(grace_seconds))


def _register(steps: Steps, pause_seconds: float) -> None:
    @DBOS.step(**PATIENT)
    def begin(clip_id: str) -> None:
        steps.begin(clip_id)

    @DBOS.step()
    def attempt(clip_id: str) -> str | None:
        return steps.attempt(str(DBOS.workflow_id), clip_id)

    @DBOS.step(**PATIENT)
    def give_up(clip_id: str, fault: str) -> None:
        steps.give_up(clip_id, fault)

    @DBOS.workflow(name=JOB, max_recovery_attempts=RECOVERIES)
    def measure_clip(clip_id: str) -> None:
        begin(clip_id)
        fault: str | None = None
        for n in range(TRIES):
            if n:
                DBOS.sleep(pause_seconds * 4 ** (n - 1))
            fault = attempt(clip_id)
            if fault is None:
                return
        give_up(clip_id, str(fault))


def _log_as_the_rest() -> None:
    """Let DBOS's messages go where all others go, instead of to a handler of its own."""
    logger = logging.getLogger("dbos")
    for handler in list(logger.handlers):
        logger.removeHandler(handler)
    logger.propagate = True
