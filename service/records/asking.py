"""What a program tool asks: efforts and their tempo by page, sums, and what changed since it last asked.

Filters and sums are the database's work. Everything is asked within one gym, and of current measurements only; what
changed since tells too what is no longer current, and what was deleted.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, Literal

from sqlalchemy import ColumnElement, Row, Select, case, func, literal, null, or_, select, tuple_
from sqlalchemy.orm import Session

from models.document import VerdictWord
from service.records.base import UtcTime
from service.records.cursors import CursorGone, Place, Seen
from service.records.gyms import Gym
from service.records.results import Effort, Kind
from service.records.review import Ruling, RulingWord
from service.records.running import Deleted

EFFORT: Final = tuple(Effort.__table__.columns)
"""All columns of an effort."""

TEMPO: Final = tuple(
    Effort.__table__.columns[name]
    for name in (
        *("id", "athlete_id", "clip_id", "set_id", "n", "done", "movement", "variant", "status"),
        *("lowering_s", "lowering_u95", "bottom_pause_s", "bottom_pause_u95"),
        *("raising_s", "raising_u95", "top_pause_s", "top_pause_u95"),
        *("body_angle_deg", "body_angle_u95", "verdict", "ruling", "corrected"),
    )
)
"""What a rep's tempo is told by, in this order."""


@dataclass(frozen=True, kw_only=True)
class Filter:
    """Which efforts are asked for; None: any."""

    athlete_id: str | None = None
    movement: str | None = None
    variant: str | None = None
    since: datetime | None = None
    """Done at this moment or later."""
    until: datetime | None = None
    """Done before this moment."""
    verdict: VerdictWord | Literal["none"] | None = None
    """`none`: those without one."""
    ruling: RulingWord | Literal["none"] | None = None
    kind: Kind | None = None
    held_back: ColumnElement[bool] | None = None
    """The efforts whose verdict is not for whoever asks: it is told, found and counted as none."""


@dataclass(frozen=True)
class Page:
    """Some of the rows asked for, and the cursor of the page that follows; None: there is none."""

    rows: Sequence[Row[Any]]
    next: str | None


@dataclass(frozen=True)
class Changes:
    """What changed in a gym, up to the cursor `next`; whoever has taken it in holds what the gym holds.

    A change is told whole, so that a page may hold more than was asked for. Of an effort that changed more than once its
    present state is told, once.
    """

    efforts: Sequence[Row[Any]]
    """New or changed; to be forgotten where `current` is false, because its clip was measured again."""
    missing: Sequence[Ruling]
    """Reps that a coach saw and the machine did not."""
    deleted: Sequence[Deleted]
    """To be forgotten: every effort and missing rep of that clip, or of that person; or that ruling."""
    next: str
    more: bool
    """Whether to ask on at once."""


def efforts(
    session: Session,
    gym_id: str,
    asked: Filter,
    *,
    after: str | None = None,
    limit: int | None = 100,
    newest_first: bool = False,
) -> Page:
    """Reps and holds with all their columns, in the order in which they were done.

    Raises:
        CursorError: `after` is no cursor.
    """
    query = select(*_told(EFFORT, asked.held_back)).where(*_matching(gym_id, asked))
    return _page(session, query, after, limit, newest_first=newest_first)


def tempo(
    session: Session,
    gym_id: str,
    asked: Filter,
    *,
    after: str | None = None,
    limit: int | None = 1000,
    newest_first: bool = False,
) -> Page:
    """Reps with what their tempo is told by (`TEMPO`); all at once where `limit` is None.

    Raises:
        CursorError: `after` is no cursor.
    """
    query = select(*_told(TEMPO, asked.held_back)).where(*_matching(gym_id, asked), Effort.kind == "rep")
    return _page(session, query, after, limit, newest_first=newest_first)


def summary(session: Session, gym_id: str, asked: Filter) -> Sequence[Row[Any]]:
    """Sums by athlete, movement and week: of whole reps and of holds that no coach ruled to be none.

    Means are of the machine's values where it has one. `met`, `missed`, `unsure` count its verdicts; `ruled_met` and
    `ruled_missed` count rulings.
    """
    by = (Effort.athlete_id, Effort.movement, Effort.week)
    whole = or_(Effort.kind == "hold", Effort.status == "whole")
    real = Effort.ruling.is_distinct_from("not a rep")
    query = select(*by, *_sums(_verdict(asked.held_back))).where(*_matching(gym_id, asked), whole, real)
    return _rows(session, query.group_by(*by).order_by(*by))


def changes(
    session: Session,
    gym_id: str,
    since: str | None = None,
    *,
    limit: int = 500,
    held_back: ColumnElement[bool] | None = None,
) -> Changes:
    """What changed since a cursor; without one, all there is. `held_back` is as in `Filter`.

    Raises:
        CursorError: `since` is no cursor.
        CursorGone: a backup was restored since. Forget everything, and ask without a cursor.
    """
    history, latest = session.execute(select(Gym.history, Gym.changes).where(Gym.id == gym_id)).one()
    seen = Seen(history, 0) if since is None else Seen.read(since)
    if seen.history != history or not 0 <= seen.change <= latest:
        raise CursorGone("a backup was restored since this cursor: forget what was read, and begin again without one")
    upto = _upto(session, gym_id, seen.change, latest, limit)
    told = select(*_told(EFFORT, held_back)).where(*_between(Effort, gym_id, seen.change, upto))
    missing = select(Ruling).where(*_between(Ruling, gym_id, seen.change, upto), Ruling.effort_id.is_(None))
    deleted = select(Deleted).where(*_between(Deleted, gym_id, seen.change, upto))
    return Changes(
        efforts=_rows(session, told.order_by(Effort.changed, Effort.id)),
        missing=session.scalars(missing.order_by(Ruling.changed)).all(),
        deleted=session.scalars(deleted.order_by(Deleted.changed)).all(),
        next=Seen(history, upto).cursor(),
        more=upto < latest,
    )


def _verdict(held_back: ColumnElement[bool] | None) -> ColumnElement[Any]:
    """The machine's verdict, as far as whoever asks is told it."""
    if held_back is None:
        return Effort.__table__.columns["verdict"]
    return case((held_back, null()), else_=Effort.verdict).label("verdict")


def _told(columns: Sequence[ColumnElement[Any]], held_back: ColumnElement[bool] | None) -> list[ColumnElement[Any]]:
    return [_verdict(held_back) if column.key == "verdict" else column for column in columns]


def _sums(verdict: ColumnElement[Any]) -> list[ColumnElement[Any]]:
    return [
        *(func.count().filter(Effort.kind == kind).label(f"{kind}s") for kind in ("rep", "hold")),
        *(func.count().filter(verdict == word).label(word) for word in ("met", "missed", "unsure")),
        *(func.count().filter(Effort.ruling == word).label(f"ruled_{word}") for word in ("met", "missed")),
        *(func.avg(column).label(column.key) for column in (Effort.lowering_s, Effort.body_angle_deg, Effort.still_s)),
    ]


def _matching(gym_id: str, asked: Filter) -> list[ColumnElement[bool]]:
    verdict = _verdict(asked.held_back)
    equal: list[tuple[Any, str | None]] = [
        (Effort.athlete_id, asked.athlete_id),
        (Effort.movement, asked.movement),
        (Effort.variant, asked.variant),
        (verdict, None if asked.verdict == "none" else asked.verdict),
        (Effort.ruling, None if asked.ruling == "none" else asked.ruling),
        (Effort.kind, asked.kind),
    ]
    conditions: list[ColumnElement[bool]] = [Effort.gym_id == gym_id, Effort.current.is_(True)]
    conditions += (column == value for column, value in equal if value is not None)
    if asked.verdict == "none":
        conditions.append(verdict.is_(None))
    if asked.ruling == "none":
        conditions.append(Effort.ruling.is_(None))
    if asked.since is not None:
        conditions.append(Effort.done >= asked.since)
    if asked.until is not None:
        conditions.append(Effort.done < asked.until)
    return conditions


def _page(session: Session, query: Select[Any], after: str | None, limit: int | None, *, newest_first: bool) -> Page:
    place = tuple_(Effort.done, Effort.id)
    if after is not None:
        found = Place.read(after)
        start = tuple_(literal(found.done, UtcTime()), literal(found.id))
        query = query.where(place < start if newest_first else place > start)
    order = (column.desc() if newest_first else column.asc() for column in (Effort.done, Effort.id))
    rows = _rows(session, query.order_by(*order).limit(limit and limit + 1))
    if limit is None or len(rows) <= limit:
        return Page(rows, None)
    last = rows[limit - 1]
    return Page(rows[:limit], Place(last.done, last.id).cursor())


def _rows(session: Session, query: Select[Any]) -> Sequence[Row[Any]]:
    """Rows as the database gives them, past the part of the session that makes objects and is of no use here."""
    session.flush()
    return session.connection().execute(query).all()


def _upto(session: Session, gym_id: str, seen: int, latest: int, limit: int) -> int:
    """The last change to tell of, which completes `limit` rows; where there are fewer, the latest of the gym.

    That may have no rows: of what was deleted, only the last change is known.
    """
    numbers: list[int] = []
    for column, gym in (
        (Effort.changed, Effort.gym_id),
        (Ruling.changed, Ruling.gym_id),
        (Deleted.changed, Deleted.gym_id),
    ):
        query = select(column).where(gym == gym_id, column > seen).order_by(column).limit(limit)
        numbers += (number for number in session.scalars(query) if number is not None)
    return sorted(numbers)[limit - 1] if len(numbers) >= limit else max(latest, *numbers, seen)


def _between(
    table: type[Effort | Ruling | Deleted], gym_id: str, seen: int, upto: int
) -> tuple[ColumnElement[bool], ...]:
    return table.gym_id == gym_id, table.changed > seen, table.changed <= upto
