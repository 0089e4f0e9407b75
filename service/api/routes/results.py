"""What was measured, for program tools: by page, as sums, and what changed."""

from typing import Annotated

from fastapi import Path, Query, Request, Response
from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from service.access.decide import Resource
from service.api.csv import ALSO_CSV, Format, as_csv, wants_csv
from service.api.deps import Actor, Session, fetch, require
from service.api.filters import Asked
from service.api.holding import held_back, is_held_back
from service.api.judged import judged
from service.api.paging import After, Page
from service.api.problems import Problem
from service.api.route import router
from service.api.shapes.common import EXAMPLE_NUMBER
from service.api.shapes.results import (
    ChangesGiven,
    CheckGiven,
    CorrectionGiven,
    EffortGiven,
    EffortTold,
    RulingGiven,
    Sets,
    SetTold,
    Summary,
    Sums,
    TempoGiven,
)
from service.records import CheckRow, Clip, Effort, Measurement, Ruling, SetRow, asking
from service.records.carrying import corrections_of
from service.records.cursors import CursorGone

results = router("results")

Many = Annotated[int, Query(ge=1, le=1000, description="Items on a page.")]
NewestFirst = Annotated[bool, Query(description="In the other order.")]
Number = Annotated[int, Path(ge=1, lt=2**63, description="Number.", examples=[EXAMPLE_NUMBER])]


@results.get("/efforts", responses=ALSO_CSV, response_model=Page[EffortGiven])
def list_efforts(
    request: Request,
    session: Session,
    actor: Actor,
    asked: Asked,
    after: After = None,
    limit: Many = 100,
    newest_first: NewestFirst = False,
    form: Format = None,
) -> Page[EffortGiven] | Response:
    """Reps and holds in the order in which they were done; as JSON or CSV, whose next page stands in the header `Link`."""
    found = asking.efforts(session, _gym(actor), asked, after=after, limit=limit, newest_first=newest_first)
    rows = [EffortGiven.model_validate(row) for row in found.rows]
    if wants_csv(request, form):
        return as_csv(EffortGiven, rows, request, found.next)
    return Page(items=rows, next=found.next)


@results.get("/tempo", responses=ALSO_CSV, response_model=Page[TempoGiven])
def list_tempo(
    request: Request,
    session: Session,
    actor: Actor,
    asked: Asked,
    after: After = None,
    limit: Many = 1000,
    newest_first: NewestFirst = False,
    form: Format = None,
) -> Page[TempoGiven] | Response:
    """Reps with their measured tempo, lowering-bottom-raising-top, each with its U95; as JSON or CSV."""
    found = asking.tempo(session, _gym(actor), asked, after=after, limit=limit, newest_first=newest_first)
    rows = [TempoGiven.model_validate(row) for row in found.rows]
    if wants_csv(request, form):
        return as_csv(TempoGiven, rows, request, found.next)
    return Page(items=rows, next=found.next)


@results.get("/summary", responses=ALSO_CSV, response_model=Summary)
def summarise(
    request: Request, session: Session, actor: Actor, asked: Asked, form: Format = None
) -> Summary | Response:
    """Sums by athlete, movement and week."""
    rows = [Sums.model_validate(row) for row in asking.summary(session, _gym(actor), asked)]
    return as_csv(Sums, rows, request) if wants_csv(request, form) else Summary(items=rows)


@results.get("/changes")
def list_changes(
    session: Session,
    actor: Actor,
    since: Annotated[
        str | None, Query(max_length=300, description="`next` of the last answer; left out: all there is.")
    ] = None,
    limit: Many = 500,
) -> ChangesGiven:
    """What is new, changed or gone since the last time: whoever follows holds what the gym holds."""
    require(actor, "read", Resource("result", actor.gym_id))
    try:
        found = asking.changes(session, _gym(actor), since, limit=limit, held_back=held_back(actor))
    except CursorGone as fault:
        raise Problem("cursor-gone", str(fault)) from fault
    return ChangesGiven.model_validate(found)


@results.get("/clips/{clip_id}/sets")
def list_sets(clip_id: str, session: Session, actor: Actor) -> Sets:
    """The sets that a clip shows, each with its reps and holds and their checks; none before it is measured."""
    clip = fetch(session, Clip, clip_id, actor, "read", "result")
    query = (
        select(SetRow)
        .join(Measurement, Measurement.id == SetRow.measurement_id)
        .where(SetRow.clip_id == clip.id, Measurement.current)
        .order_by(SetRow.n)
    )
    return Sets(items=[_told(session, row, actor) for row in session.scalars(query).all()])


@results.get("/sets/{set_id}")
def get_set(set_id: Number, session: Session, actor: Actor) -> SetTold:
    """A set with its reps and holds, each with its checks."""
    return _told(session, fetch(session, SetRow, set_id, actor, "read", "result"), actor)


@results.get("/efforts/{effort_id}")
def get_effort(effort_id: Number, session: Session, actor: Actor) -> EffortTold:
    """A rep or a hold with its checks, rulings and corrections, the newest first."""
    row = fetch(session, Effort, effort_id, actor, "read", "result")
    told = judged(session, [row], actor)[0]
    rulings = session.scalars(select(Ruling).where(Ruling.effort_id == row.id).order_by(Ruling.changed.desc()))
    return EffortTold(
        **told.model_dump(),
        rulings=[RulingGiven.model_validate(each) for each in rulings],
        corrections=[CorrectionGiven.model_validate(each) for each in corrections_of(session, row)],
    )


def _told(records: Records, row: SetRow, actor: Actor) -> SetTold:
    efforts = list(records.scalars(select(Effort).where(Effort.set_id == row.id).order_by(Effort.start, Effort.id)))
    untold = any(is_held_back(effort, actor) for effort in efforts)
    own = select(CheckRow).where(CheckRow.set_id == row.id, CheckRow.effort_id.is_(None))
    return SetTold(
        id=row.id,
        clip_id=row.clip_id,
        athlete_id=row.athlete_id,
        n=row.n,
        start=row.start,
        end=row.end,
        verdict=None if untold else row.verdict,
        checks=[] if untold else [CheckGiven.model_validate(check) for check in records.scalars(own)],
        efforts=judged(records, efforts, actor),
    )


def _gym(actor: Actor) -> str:
    assert actor.gym_id is not None  # whoever may read results belongs to a gym
    return actor.gym_id
