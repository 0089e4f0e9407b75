"""What the rest of the service knows of the queue."""

from dataclasses import dataclass
from typing import Protocol

from sqlalchemy import event
from sqlalchemy.orm import Session


@dataclass(frozen=True)
class Depth:
    """How busy the queue is."""

    waiting: int
    running: int
    oldest_seconds: float
    """How long the oldest waiting job has waited; 0 where none waits."""


class JobQueue(Protocol):
    """Jobs, each of which measures one clip."""

    def submit(self, clip_id: str, *, again: str = "") -> None:
        """Have a clip measured; with the same `clip_id` and `again`, once, however often it is called.

        The clip's row must be committed by then: `submit_when_committed` sees to that.
        """

    def cancel(self, clip_id: str) -> None:
        """Take a clip's jobs out of the queue and stop one that runs; nothing happens where there is none."""

    def depth(self) -> Depth:
        """How busy the queue is."""


def submit_when_committed(session: Session, queue: JobQueue, clip_id: str, *, again: str = "") -> None:
    """Submit a job as soon as `session` commits what it holds; not at all if that is rolled back.

    Submitting earlier would let a worker look for a clip that is not there yet. Where the process dies between the two,
    the watchdog finds the clip waiting without a job, and submits it.
    """

    def submit(_session: Session) -> None:
        queue.submit(clip_id, again=again)

    event.listen(session, "after_commit", submit, once=True)
