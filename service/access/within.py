"""What an actor may see of a table: the condition that every list is asked with."""

from typing import Any

from sqlalchemy import ColumnElement, and_, false

from service.access.actors import Actor
from service.access.decide import Action, ResourceKind, reach


def within(
    actor: Actor, action: Action, kind: ResourceKind, gym_id: Any, athlete_id: Any = None
) -> ColumnElement[bool]:
    """The condition for the rows that an actor may do it to; it says what `decide` says, row by row.

    Args:
        actor: who asks.
        action: what they want to do.
        kind: what the rows are.
        gym_id: the column that holds the gym.
        athlete_id: the column that holds the person it belongs to; None where there is none.
    """
    match reach(actor, action, kind):
        case "gym":
            return gym_id == actor.gym_id
        case "own" if athlete_id is not None and actor.person_id is not None:
            return and_(gym_id == actor.gym_id, athlete_id == actor.person_id)
        case _:
            return false()
