"""The steps of one job: fetch the clip, measure it in a child process, keep files and numbers. Each may be done again."""

import shutil
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from time import monotonic
from typing import Final

import structlog
from sqlalchemy import update
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from models.document import Document
from service.hooks.announce import announce
from service.jobs.contained import Crashed, Limits, Overrun, Refused, Told, run_contained
from service.jobs.counts import count_end, count_verdicts
from service.jobs.order import Folder, Order
from service.jobs.progress import Progress
from service.records.clips import Clip, State
from service.records.database import Database
from service.records.gyms import Person
from service.records.keeping import ClipGone, keep_measurement
from service.records.prescriptions import PrescriptionVersion
from service.settings import Settings
from service.store import ClipFiles, Store, StoreError
from service.store.places import scratches

COMMAND: Final = (sys.executable, "-m", "service.jobs.child")
CHECK: Final = 2.0
"""Seconds between two looks at whether the job is still this worker's."""

FAILED: Final = "Measuring failed, again and again; tell whoever runs this service."
"""What an athlete is told. What went wrong stands in the log."""
GONE: Final = "The clip's files are deleted; send the clip again to have it measured."
ELSEWHERE: Final = (Crashed, SQLAlchemyError, StoreError)
"""Faults that no traceback of this process tells more of."""

log = structlog.get_logger(__name__)


class LetGo(BaseException):
    """This worker no longer does this job: cancelled, handed on, or told to stop.

    No `Exception`, because the job has neither ended nor failed: the queue must record nothing of it.
    """


@dataclass(frozen=True)
class Work:
    """What one try needs to know of its clip."""

    clip_id: str
    files: ClipFiles
    clip_key: str
    version_id: str | None
    order: Order


@dataclass(frozen=True)
class Measuring:
    """Measures clips for one worker."""

    database: Database
    store: Store
    scratch: Path
    """A folder of this worker's alone; what a killed try left in it goes with the next."""
    limits: Limits
    command: tuple[str, ...]
    """The child that measures; given a folder as its last argument, see `service.jobs.order`."""
    still_mine: Callable[[str], bool]
    """Whether a job is still this worker's."""
    out_of_time: Callable[[], bool]
    """Whether the worker was told to stop, and cannot wait any longer."""

    def begin(self, clip_id: str) -> None:
        """Say that a clip's measuring has begun; an end that it has from before no longer counts."""
        with self.database.session() as session:
            begun = {"state": "measuring", "stage": None, "progress": 0.0, "reason": None}
            session.execute(update(Clip).where(Clip.id == clip_id).values(**begun))

    def attempt(self, job_id: str, clip_id: str) -> str | None:
        """Measure a clip, and keep what came of it; what went wrong, where another try may help."""
        with structlog.contextvars.bound_contextvars(job_id=job_id, clip_id=clip_id):
            try:
                self._attempt(job_id, clip_id)
            except ClipGone:
                log.info("clip gone")
                self._end(clip_id, "failed", GONE)
            except Exception as fault:  # whatever it was, it was this try's; the next clip is waiting
                reason = str(fault).split("\n", 1)[0] or type(fault).__name__
                log.warning("try failed", reason=reason, exc_info=not isinstance(fault, ELSEWHERE))
                return reason
            finally:
                shutil.rmtree(self.scratch, ignore_errors=True)
        return None

    def give_up(self, clip_id: str, fault: str) -> None:
        """After the last try."""
        log.error("clip given up", clip_id=clip_id, reason=fault)
        self._end(clip_id, "failed", FAILED)

    def _attempt(self, job_id: str, clip_id: str) -> None:
        work = self._work(clip_id)
        if work is None:
            return
        progress = Progress(self.database, clip_id)
        progress.tell("fetching", 0.0)
        folder = self._fetch(work)
        try:
            run_contained(self.command, folder.path, self.limits, self._watch(job_id, progress))
        except Refused as refusal:
            self._put(work, folder)
            self._end(clip_id, "refused", str(refusal), progress.seconds())
        except Overrun as overrun:
            self._put(work, folder)
            self._end(clip_id, "failed", f"Measuring was stopped: {overrun}; cut the clip shorter.", progress.seconds())
        else:
            progress.tell("keeping", 1.0)
            self._put(work, folder)
            self._keep(work, folder, progress)

    def _work(self, clip_id: str) -> Work | None:
        """What is to be done; None: a try that was killed too late to say so has done it."""
        with self.database.session() as session:
            clip = _present(session, clip_id)
            if clip.state != "measuring":
                return None
            version = clip.prescription_version_id and session.get(PrescriptionVersion, clip.prescription_version_id)
            athlete = session.get_one(Person, clip.athlete_id)
            files = ClipFiles(clip_id)
            return Work(
                clip_id=clip_id,
                files=files,
                clip_key=files.clip(clip.container),
                version_id=version.id if version else None,
                order=Order(
                    prescription=version.text if version else None,
                    movement=clip.movement,
                    hold=clip.hold,
                    height_cm=athlete.height_cm,
                    sensor=clip.sensor,
                    memory_mb=self.limits.memory_mb,
                ),
            )

    def _fetch(self, work: Work) -> Folder:
        shutil.rmtree(self.scratch, ignore_errors=True)
        self.scratch.mkdir(parents=True, mode=0o700)
        folder = Folder(self.scratch)
        self.store.fetch(work.clip_key, folder.clip)
        if work.order.sensor:
            self.store.fetch(work.files.sensor, folder.sensor)
        folder.order.write_text(work.order.model_dump_json(), encoding="utf-8")
        return folder

    def _watch(self, job_id: str, progress: Progress) -> Callable[[Told | None], None]:
        checked = monotonic()

        def watch(told: Told | None) -> None:
            nonlocal checked
            if self.out_of_time():
                raise LetGo
            with suppress(SQLAlchemyError):  # a database out of reach is no reason to throw away what was measured
                if told is not None:
                    progress.tell(told.stage, told.share)
                if monotonic() - checked > CHECK:
                    checked = monotonic()
                    if not self.still_mine(job_id):
                        raise LetGo

        return watch

    def _put(self, work: Work, folder: Folder) -> None:
        """Keep the files, in the place of those of an earlier try."""
        for made, key in ((folder.proxy, work.files.proxy), (folder.series, work.files.series)):
            if made.exists():
                self.store.delete(key)
                self.store.put(key, made)
        try:
            with self.database.session() as session:
                _present(session, work.clip_id)
        except ClipGone:  # whoever deleted it may have looked for files already
            self.store.delete(work.files.folder)
            raise

    def _keep(self, work: Work, folder: Folder, progress: Progress) -> None:
        document = Document.model_validate_json(folder.document.read_bytes())
        with self.database.session() as session:
            clip = _present(session, work.clip_id)
            version = session.get(PrescriptionVersion, work.version_id) if work.version_id else None
            keep_measurement(session, clip, version, document)
            clip.state, clip.stage, clip.progress, clip.reason = "measured", None, 1.0, None
            clip.stage_seconds = seconds = progress.seconds()
            announce(session, clip.gym_id, "clip.measured", {"clip": clip.id, "athlete": clip.athlete_id})
        count_end("measured", seconds)
        count_verdicts(document)
        log.info("clip measured", seconds=seconds)

    def _end(self, clip_id: str, state: State, reason: str, seconds: dict[str, float] | None = None) -> None:
        with self.database.session() as session:
            clip = session.get(Clip, clip_id)
            if clip is None:
                return
            clip.state, clip.stage, clip.reason = state, None, reason
            clip.stage_seconds = seconds
            if state == "refused":
                announce(session, clip.gym_id, "clip.refused", {"clip": clip.id, "athlete": clip.athlete_id})
        count_end(state, seconds)


def _present(session: Session, clip_id: str) -> Clip:
    """The clip, if it and its files are still there."""
    clip = session.get(Clip, clip_id)
    if clip is None or clip.files_gone is not None:
        raise ClipGone(clip_id)
    return clip


def measuring(
    settings: Settings,
    worker: str,
    database: Database,
    store: Store,
    *,
    command: tuple[str, ...],
    still_mine: Callable[[str], bool],
    out_of_time: Callable[[], bool],
) -> Measuring:
    """The measuring of a worker, with the limits of the settings."""
    return Measuring(
        database=database,
        store=store,
        scratch=scratches(settings).resolve() / f"worker-{worker}",
        limits=Limits(settings.job_seconds, settings.job_memory_mb),
        command=command,
        still_mine=still_mine,
        out_of_time=out_of_time,
    )
