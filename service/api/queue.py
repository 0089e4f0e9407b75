"""What needs a person: reps and holds that were missed or unsure, and of those that were met a few, blindly."""

from collections import defaultdict
from datetime import datetime, timedelta
from typing import Final

from sqlalchemy import ColumnElement, and_, case, func, literal, or_, select, tuple_
from sqlalchemy.orm import Session as Records

from service.access.actors import Actor
from service.api.judged import judged
from service.api.paging import Page, read_cursor, write_cursor
from service.api.sampling import drawn
from service.api.shapes.review import SetToReview
from service.records import Clip, Effort, Ruling, SetRow, now
from service.records.base import UtcTime

DRAWN_FOR: Final = timedelta(days=28)
"""What was met and drawn waits so long; later nobody remembers the session."""


def to_review(records: Records, actor: Actor, gym_id: str, after: str | None, limit: int) -> Page[SetToReview]:
    """Sets that hold something to be ruled on: those with something unsure or blind first, and of these the oldest.

    Raises:
        Problem: `after` is no cursor of this list.
    """
    needed = _needed(gym_id)
    rank = func.min(case((or_(Effort.verdict == "unsure", drawn(gym_id)), 0), else_=1))
    place = tuple_(rank, func.min(Effort.done), Effort.set_id)
    query = select(rank, func.min(Effort.done), Effort.set_id).where(needed).group_by(Effort.set_id)
    if after is not None:
        seen_rank, seen_done, seen_id = read_cursor(after, int, datetime, int)
        query = query.having(place > tuple_(literal(seen_rank), literal(seen_done, UtcTime()), literal(seen_id)))
    rows = records.execute(query.order_by(rank, func.min(Effort.done), Effort.set_id).limit(limit + 1)).all()
    shown = rows[:limit]
    cursor = write_cursor(list(shown[-1])) if len(rows) > limit else None
    return Page(items=_sets(records, actor, [set_id for _, _, set_id in shown], needed), next=cursor)


def _needed(gym_id: str) -> ColumnElement[bool]:
    """The condition for efforts that are to be ruled on. What can no longer be looked at is not asked about."""
    unseen = select(Clip.id).where(Clip.gym_id == gym_id, Clip.files_gone.is_not(None))
    to_be_filmed_again = select(Ruling.clip_id).where(
        Ruling.gym_id == gym_id, Ruling.ruling == "film again", Ruling.effort_id.is_(None)
    )
    met = and_(Effort.verdict == "met", Effort.done >= now() - DRAWN_FOR, drawn(gym_id))
    return and_(
        Effort.gym_id == gym_id,
        Effort.current,
        Effort.ruling.is_(None),
        or_(Effort.verdict.in_(("missed", "unsure")), met),
        Effort.clip_id.not_in(unseen),
        Effort.clip_id.not_in(to_be_filmed_again),
    )


def _sets(records: Records, actor: Actor, ids: list[int], needed: ColumnElement[bool]) -> list[SetToReview]:
    """The sets of these numbers, in this order, each with what is to be ruled on."""
    efforts: dict[int, list[Effort]] = defaultdict(list)
    asked = select(Effort).where(needed, Effort.set_id.in_(ids)).order_by(Effort.start, Effort.id)
    for effort in records.scalars(asked):
        efforts[effort.set_id].append(effort)
    rows = {row.id: row for row in records.scalars(select(SetRow).where(SetRow.id.in_(ids)))}
    return [_set(records, actor, rows[each], efforts[each]) for each in ids]


def _set(records: Records, actor: Actor, row: SetRow, efforts: list[Effort]) -> SetToReview:
    return SetToReview(
        set_id=row.id,
        clip_id=row.clip_id,
        athlete_id=row.athlete_id,
        n=row.n,
        movement=efforts[0].movement,
        done=efforts[0].done,
        start=row.start,
        end=row.end,
        efforts=judged(records, efforts, actor),
    )
