"""Finds the jobs that nobody works on any more. Every worker runs one; several at once do no harm."""

from datetime import datetime, timedelta
from time import monotonic
from typing import Final

import structlog
from sqlalchemy import delete, select

from service.jobs.dbos_queue import DONE, DbosQueue
from service.jobs.measure import FAILED
from service.records.base import now
from service.records.clips import Clip
from service.records.database import Database
from service.records.running import Beat

FORGET: Final = timedelta(days=1)
"""Beats of workers that went long ago are dropped after this."""
WHY: Final = {
    "CANCELLED": "Measuring was cancelled; measure the clip again.",
    "MAX_RECOVERY_ATTEMPTS_EXCEEDED": "Measuring this clip ended several workers; tell whoever runs this service.",
}
"""What a clip says whose job ended without saying anything itself."""
LOST: Final = "lost-"
MOST_LOST: Final = 3
"""How often a clip is submitted whose jobs end well and leave it waiting."""

log = structlog.get_logger(__name__)


class Watchdog:
    """Hands on what dead workers left, and gives every clip that waits a job or an end.

    A worker is taken as dead when its beat has not changed for so long by this process's own clock: clocks of machines
    differ, and all beats look old after a machine has slept.
    """

    def __init__(self, database: Database, queue: DbosQueue, silent_seconds: float) -> None:
        self._database = database
        self._queue = queue
        self._silent = silent_seconds
        self._heard: dict[str, tuple[datetime | None, float]] = {}
        self._searched = monotonic()

    def look(self) -> None:
        """Look once; call it every few seconds."""
        self._hand_on()
        if monotonic() - self._searched > self._silent:
            self._searched = monotonic()
            self._find_lost()

    def _hand_on(self) -> None:
        holding = {job.worker for job in self._queue.running() if job.worker is not None}
        with self._database.session() as session:
            beats = session.scalars(select(Beat).where(Beat.worker.in_(holding)))
            seen = {beat.worker: beat.seen for beat in beats}
        clock = monotonic()
        self._heard = {
            worker: heard
            if (heard := self._heard.get(worker)) and heard[0] == seen.get(worker)
            else (seen.get(worker), clock)
            for worker in holding
        }
        for worker, (_, since) in self._heard.items():
            if clock - since > self._silent and (jobs := self._queue.hand_on(worker)):
                log.warning("worker silent, jobs handed on", worker=worker, jobs=jobs)

    def _find_lost(self) -> None:
        """Clips whose job was never submitted, because the process died just then, or ended without an end for the clip."""
        old = now() - timedelta(seconds=self._silent)
        waiting = select(Clip.id).where(Clip.state.in_(["waiting", "measuring"]), Clip.arrived < old)
        with self._database.session() as session:
            session.execute(delete(Beat).where(Beat.seen < now() - FORGET))
            clips = set(session.scalars(waiting))
        for clip_id in clips - self._queue.unfinished_clips():
            self._settle(clip_id)

    def _settle(self, clip_id: str) -> None:
        jobs = self._queue.jobs_of(clip_id)
        if any(job.unfinished for job in jobs):
            return
        with self._database.session() as session:
            clip = session.get(Clip, clip_id)  # after the jobs: one that has just ended has told its clip before
            if clip is None or clip.state not in {"waiting", "measuring"}:
                return
            lost = sum(LOST in job.id for job in jobs)
            if jobs and (jobs[-1].status != DONE or lost == MOST_LOST):
                log.error("job ended without an end for its clip", clip_id=clip_id, status=jobs[-1].status)
                clip.state, clip.stage, clip.reason = "failed", None, WHY.get(jobs[-1].status, FAILED)
                return
        log.warning("clip without a job submitted", clip_id=clip_id)
        self._queue.submit(clip_id, again=f"{LOST}{lost}" if jobs else "")
