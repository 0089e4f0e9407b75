"""Delete a clip or an athlete, and everything that came from them.

Rows go in the caller's transaction, with a tombstone that holds identifiers alone; files, uploads and jobs go when it
commits, so that nothing is lost if it does not. What a crash in between leaves is found by `tidy`.
"""

from collections.abc import Callable, Iterable
from contextlib import ExitStack
from functools import partial

from sqlalchemy import ColumnElement, delete, event, or_, select
from sqlalchemy.orm import Session

from service.access.actors import Actor
from service.access.audit import audit
from service.access.decide import Resource
from service.intake.uploads import UploadFiles
from service.jobs.port import JobQueue
from service.leaving.erasing import erase_freed_pages
from service.records import Answered, Clip, Delivery, Person, Upload
from service.records.changing import tell_deleted
from service.settings import Settings
from service.store import ClipFiles, Store


def delete_clip(
    session: Session, store: Store, queue: JobQueue, settings: Settings, actor: Actor | None, clip: Clip
) -> None:
    """Delete a clip with its measurements, rulings, notes on it, pictures and series, and its jobs."""
    tell_deleted(session, clip.gym_id, "clip", clip.id)
    audit(session, actor, "deleted", Resource("clip", clip.gym_id, clip.athlete_id, clip.id))
    sent = _ids(session, Upload, Upload.clip_id == clip.id)
    forget_mentions(session, [clip.id])
    session.execute(delete(Upload).where(Upload.id.in_(sent)))
    session.execute(delete(Clip).where(Clip.id == clip.id))
    _when_committed(session, *_leftovers(store, queue, settings, [clip.id], sent), partial(erase_freed_pages, settings))


def delete_athlete(
    session: Session, store: Store, queue: JobQueue, settings: Settings, actor: Actor | None, athlete: Person
) -> None:
    """Delete a person and all that is theirs: clips, results, prescriptions, consents, notes, ways to come in."""
    tell_deleted(session, athlete.gym_id, "person", athlete.id)
    audit(session, actor, "deleted", Resource("person", athlete.gym_id, athlete.id, athlete.id))
    clips = _ids(session, Clip, Clip.athlete_id == athlete.id)
    sent = _ids(session, Upload, Upload.athlete_id == athlete.id)
    forget_mentions(session, [athlete.id, *clips])
    session.execute(delete(Person).where(Person.id == athlete.id))
    _when_committed(session, *_leftovers(store, queue, settings, clips, sent), partial(erase_freed_pages, settings))


def forget_mentions(session: Session, ids: Iterable[str]) -> None:
    """Drop answers and messages that are kept as text and tell of one of these, or were given to them."""
    for each in ids:
        session.execute(
            delete(Answered).where(
                or_(
                    Answered.actor_id == each,
                    Answered.body.contains(each, autoescape=True),
                    Answered.location.contains(each, autoescape=True),
                )
            )
        )
        session.execute(delete(Delivery).where(Delivery.body.contains(each, autoescape=True)))


def _ids(session: Session, table: type[Clip] | type[Upload], where: ColumnElement[bool]) -> list[str]:
    return list(session.scalars(select(table.id).where(where)))


def _leftovers(
    store: Store, queue: JobQueue, settings: Settings, clips: list[str], sent: list[str]
) -> list[Callable[[], object]]:
    """What is to be done outside the database. Jobs first: one that still runs would write new files."""
    return [
        *(partial(queue.cancel, clip) for clip in clips),
        *(partial(store.delete, ClipFiles(clip).folder) for clip in clips),
        *(partial(UploadFiles(settings).remove, upload) for upload in sent),
    ]


def _when_committed(session: Session, *steps: Callable[[], object]) -> None:
    """Take the steps in order once `session` commits; each is tried, even if one before it fails."""

    def take(_session: Session) -> None:
        with ExitStack() as stack:
            for step in reversed(steps):
                stack.callback(step)

    event.listen(session, "after_commit", take, once=True)
