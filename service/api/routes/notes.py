"""Notes to athletes."""

from typing import Annotated

from fastapi import Query, Response
from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from service.access.audit import audit
from service.access.decide import Resource
from service.access.within import within
from service.api.deps import Actor, Session, require, resource_of
from service.api.paging import After, Limit, Page, page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.review import NewNote, NoteGiven
from service.records import Clip, Effort, Note, Person

notes = router("review")


@notes.get("/notes")
def list_notes(
    session: Session,
    actor: Actor,
    after: After = None,
    limit: Limit = 50,
    athlete: Annotated[str | None, Query(max_length=40, description="To this athlete.")] = None,
    clip: Annotated[str | None, Query(max_length=40, description="On this clip.")] = None,
) -> Page[NoteGiven]:
    """Notes, the newest first; an athlete's own."""
    query = select(Note).where(within(actor, "read", "note", Note.gym_id, Note.athlete_id))
    if athlete is not None:
        query = query.where(Note.athlete_id == athlete)
    if clip is not None:
        query = query.where(Note.clip_id == clip)
    return page(session, query, (Note.made, Note.id), after, limit, NoteGiven.model_validate, newest_first=True)


@notes.post("/notes", status_code=201)
def add_note(asked: NewNote, session: Session, actor: Actor, response: Response) -> NoteGiven:
    """Write to an athlete, on a clip or on one of its reps or holds."""
    require(actor, "write", Resource("note", actor.gym_id))
    clip_id, athlete_id = _about(session, asked)
    athlete = session.get(Person, athlete_id) if athlete_id else None
    if athlete is None or athlete.gym_id != actor.gym_id:
        raise Problem("invalid", "say to whom: the gym has no such athlete, clip or effort")
    row = Note(
        gym_id=athlete.gym_id,
        athlete_id=athlete.id,
        clip_id=clip_id,
        effort_id=asked.effort,
        author_id=actor.person_id,
        text=asked.text,
    )
    session.add(row)
    session.flush()
    audit(session, actor, "created", resource_of(row, "note"))
    response.headers["Location"] = f"/api/v1/notes?athlete={athlete.id}"
    return NoteGiven.model_validate(row)


def _about(records: Records, asked: NewNote) -> tuple[str | None, str | None]:
    """The clip and the athlete that a note is about.

    Raises:
        Problem: what it names does not belong together.
    """
    effort = None if asked.effort is None else records.get(Effort, asked.effort)
    clip_id = asked.clip or (effort.clip_id if effort else None)
    clip = None if clip_id is None else records.get(Clip, clip_id)
    athlete_id = asked.athlete or (clip.athlete_id if clip else None)
    strays = (
        (asked.effort is not None and effort is None),
        (clip_id is not None and clip is None),
        (effort is not None and effort.clip_id != clip_id),
        (clip is not None and clip.athlete_id != athlete_id),
    )
    if any(strays):
        raise Problem("invalid", "athlete, clip and effort do not belong together")
    return clip_id, athlete_id
