"""The second table of a set: what was reached, how strictly it was done, and what it asked of the body."""

from collections.abc import Sequence

from models.checks import value_of
from models.document import Demand, Hold, Rep
from models.movements import Movement
from models.quantity import Measured, Q, Unmeasured

Values = dict[str, list[Q | None]]

LEAST = 0.05
"""% of body weight: a load that is surer than this does not depend on the posture."""


def reach_values(rows: Sequence[Rep | Hold], movement: Movement) -> Values:
    """The table's columns by their headings; none where the document and the movement have nothing for it."""
    reps = [row for row in rows if isinstance(row, Rep)]
    return {**_standards(reps, movement), **_strictness(reps, movement), **_demand(rows)}


def demand_line(rows: Sequence[Rep | Hold]) -> str | None:
    """What the middle one of the reps or holds asked, in a sentence; None where nothing was measured of it."""
    asked = [demand for row in rows if (demand := _telling(row)) and isinstance(demand.limiting, Measured)]
    if not asked:
        return None
    middle = sorted(asked, key=lambda demand: demand.limiting.value or 0.0)[len(asked) // 2]
    where = "in the hold" if middle.end == "held" else f"at the {middle.end} end"
    parts = [f"{_shown(middle.hands)} of body weight at the hands"] if middle.hands.value else []
    if middle.limit != "hands":
        parts.append(f"a moment of {_shown(middle.limiting)} of body weight x height at the {middle.limit}")
    return f"Asked of the body {where}, without help or added load: {', '.join(parts)}"


def _standards(reps: Sequence[Rep], movement: Movement) -> Values:
    known = {standard.name for rep in reps for standard in rep.standards}
    names = [entry.name for entry in movement.standards if entry.name in known]
    return {
        f"{name.replace('-', ' ')}\n% of height": [value_of(rep, f"standards.{name}") for rep in reps] for name in names
    }


def _strictness(reps: Sequence[Rep], movement: Movement) -> Values:
    strict = movement.reps.strict if movement.reps else None
    asked = {"swing\n% of height": ("swing", strict and strict.swing)}
    asked |= {"hip range\ndeg": ("hip_range", strict and strict.hip_range)}
    columns = {heading: [value_of(rep, name) for rep in reps] for heading, (name, limit) in asked.items() if limit}
    return {heading: list(column) for heading, column in columns.items() if any(q.value is not None for q in column)}


def _demand(rows: Sequence[Rep | Hold]) -> Values:
    told = [_telling(row) for row in rows]
    limits = {demand.limit for demand in told if demand is not None}
    if len(limits) != 1:
        return {}
    heading = "at the hands\n% of weight" if limits == {"hands"} else f"at the {limits.pop()}\n% of weight x height"
    none = Unmeasured(reason="nothing is told of it")
    return {heading: [demand.limiting if demand else none for demand in told]}


def _telling(row: Rep | Hold) -> Demand | None:
    """The row's demand, unless the hands bear all the weight whatever the posture is."""
    demand = row.demand
    if demand is None or demand.limit != "hands" or not isinstance(demand.hands, Measured):
        return demand
    return demand if demand.hands.U95 >= LEAST else None


def _shown(q: Q) -> str:
    return f"{q.value:.0f} ±{q.U95:.0f} %" if isinstance(q, Measured) else "no value"
