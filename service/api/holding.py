"""What is held back from coaches: the machine's verdict on a rep or hold that is still to be ruled on blindly.

By every way out alike, or agreement would be measured with people who have seen the answer: lists, sums, changes, sets and
documents ask here. Of a clip that was measured again, the earlier measurement would give it away: nothing of it that was not
ruled on is told. Athletes and program tools see every verdict.
"""

from collections.abc import Collection
from typing import TypeVar

from sqlalchemy import ColumnElement, and_, or_, select
from sqlalchemy.orm import Session as Records

from models.document import Document, Hold, Rep, Set
from service.access.actors import Actor
from service.api.sampling import drawn, is_drawn
from service.records import Effort, Measurement, SetRow
from service.records.results import Place

Found = TypeVar("Found", Rep, Hold)
NOTHING = {"checks": None, "verdict": None}


def held_back(actor: Actor) -> ColumnElement[bool] | None:
    """The condition for efforts whose verdict this actor is not told; None: they are told all."""
    if not actor.rules or actor.gym_id is None:
        return None
    return and_(Effort.ruling.is_(None), or_(Effort.current.is_(False), drawn(actor.gym_id)))


def is_held_back(effort: Effort, actor: Actor) -> bool:
    """The same, of one effort."""
    return actor.rules and effort.ruling is None and (not effort.current or is_drawn(effort))


def document_for(records: Records, measurement: Measurement, actor: Actor) -> str:
    """A measurement's document as this actor may read it, JSON.

    A set in which something is held back comes without a verdict of its own, which counts that too.
    """
    condition = held_back(actor)
    if condition is None:
        return measurement.document
    hidden = {
        (row.set_n, row.kind, row.n)
        for row in records.execute(
            select(SetRow.n.label("set_n"), Effort.kind, Effort.n)
            .join(SetRow, SetRow.id == Effort.set_id)
            .where(SetRow.measurement_id == measurement.id, condition)
        )
    }
    if not hidden:
        return measurement.document
    whole = Document.model_validate_json(measurement.document)
    return whole.model_copy(update={"sets": tuple(_without(each, hidden) for each in whole.sets)}).model_dump_json()


def _without(each: Set, hidden: Collection[Place]) -> Set:
    if not any(place[0] == each.n for place in hidden):
        return each
    parts = {
        "reps": tuple(_untold(rep, (each.n, "rep", rep.n) in hidden) for rep in each.reps),
        "holds": tuple(_untold(hold, (each.n, "hold", hold.n) in hidden) for hold in each.holds),
        "summary": each.summary.model_copy(update={"first_missed": None}),
    }
    return each.model_copy(update=NOTHING | parts)


def _untold(found: Found, hide: bool) -> Found:
    return found.model_copy(update=NOTHING) if hide else found
