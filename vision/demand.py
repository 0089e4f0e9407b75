"""What the measured postures of a set asked of the body."""

from typing import TypeVar

from models.body.athlete import Athlete
from models.body.demand import Demand as Told
from models.body.measured import demand_of_hold, demand_of_rep
from models.document import Demand, Hold, Rep
from models.errors import DemandError
from models.movements.demand import DemandEntry, End
from models.movements.movement import Movement
from models.quantity import Unmeasured

CUT_OFF = "the clip's edge cuts this rep off"


Entry = TypeVar("Entry", Rep, Hold)


def with_demand(entry: Entry, movement: Movement, height_cm: float | None) -> Entry:
    """The same rep or hold with its demand; of a rep at its harder end. Without one if the catalogue does not name any.

    Args:
        entry: As measured.
        movement: The movement, in the variant that it was measured as.
        height_cm: The athlete's standing height, if it is known.
    """
    return entry.model_copy(update={"demand": _demand(entry, movement, Athlete(height_cm=height_cm))})


def _demand(entry: Rep | Hold, movement: Movement, athlete: Athlete) -> Demand | None:
    asked = movement.demand
    if asked is None:
        return None
    end = _end(entry, asked)
    if isinstance(entry, Rep) and entry.status == "cut_off":
        return _without(end, asked, CUT_OFF)
    try:
        if isinstance(entry, Hold):
            return _told(end, demand_of_hold(entry, movement, athlete))
        return _told(end, demand_of_rep(entry, movement, athlete, end=end))
    except DemandError as fault:
        return _without(end, asked, str(fault))


def _end(entry: Rep | Hold, asked: DemandEntry) -> End:
    if isinstance(entry, Hold):
        return "held"
    return "straight" if asked.hard == "straight" else "bent"


def _told(end: End, told: Told) -> Demand:
    return Demand(end=end, hands=told.hands, limit=told.limit, limiting=told.limiting)


def _without(end: End, asked: DemandEntry, reason: str) -> Demand:
    nothing = Unmeasured(reason=reason)
    return Demand(end=end, hands=nothing, limit=asked.limit, limiting=nothing)
