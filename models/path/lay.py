"""Laying a path: from what is owned to the goal, the smallest available step first.

Movement by movement: within each, the smallest step up that changes the fewest scalings and is not too large; then over
to the next. A step that is too large is filled with bands, with lowering or holding, and else with more of the dose.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise

from models.errors import PathError
from models.movements import Movement, load_movement
from models.path.available import Available
from models.path.candidates import (
    Keys,
    helped,
    levers,
    loaded,
    movements_between,
    on_support_of,
    other_ways,
    plans,
    support_of,
    way_of,
)
from models.path.changes import changes
from models.path.dose import less, more
from models.path.measures import Measures, Scale, rise
from models.path.rules import Rules
from models.prescription import Prescription

LEVER_KEYS = ("variant", "body_angle", "hands_raised_cm", "feet_raised_cm", "stability")
MOST = 100
"""Steps that a path has at most."""


@dataclass(frozen=True)
class Rung:
    """One variant on the way.

    `best` is the most that was asked up to it, by each measure. `rise` is in % of the one before, `changed` are the
    scalings that differ from it and `keys` how many keys of the prescription; `flagged` if the rise is too much; `fills`
    marks what was put into a step that was too large, which alone would rise by `alone` %. `first` is the dose to reach before a step that nothing else fills.
    """

    plan: Prescription
    measures: Measures
    best: Measures
    rise: float = 0.0
    changed: tuple[str, ...] = ()
    keys: int = 0
    flagged: bool = False
    fills: bool = False
    alone: float | None = None
    first: Prescription | None = None


class Layer:
    """Lays one path: what it is measured by, what is there to build it from, and the rules."""

    def __init__(self, scale: Scale, available: Available, rules: Rules) -> None:
        self.scale, self.available, self.rules = scale, available, rules

    def lay(self, owned: Prescription, goal: Prescription) -> list[Rung]:
        """The rungs from what is owned to the goal, both among them.

        Raises:
            PathError: the goal asks no more than what is owned, or the model finds no posture for one of them.
        """
        rungs, last = [self._rung(owned)], self._rung(goal)
        if not changes(owned, goal):
            raise PathError("the goal is what is owned already; name another goal")
        last = self._after(rungs[0], last)
        if last.rise < -self.rules.step.least:
            raise PathError(f"the goal asks {-last.rise:.0f} % less than what is owned; name a harder goal")
        firm = self._rung(on_support_of(goal, owned))
        for movement in movements_between(owned.movement, goal.movement, self.rules):
            through = movement.name == goal.movement
            rungs = self._climb(rungs, self._steps(movement, owned, firm.plan), firm, through=through)
        if changes(firm.plan, goal) and changes(rungs[-1].plan, firm.plan):
            rungs.append(firm)
        return self._dosed(self._filled([*rungs, last]))

    def _rung(self, plan: Prescription) -> Rung:
        measures = self.scale(plan)
        if measures is None:
            raise PathError(f"the model finds no posture for {plan.movement} like this; name another variant")
        return Rung(plan, measures, measures)

    def _after(self, before: Rung, rung: Rung) -> Rung:
        """The rung as seen from the one before it."""
        same = before.plan.movement == rung.plan.movement
        by = rise(before.measures if same else before.best, rung.measures, same=same)
        return replace(
            rung,
            best=rung.measures.at_least(before.best),
            rise=by,
            changed=changes(before.plan, rung.plan),
            keys=sum(getattr(before.plan, key) != getattr(rung.plan, key) for key in LEVER_KEYS),
            flagged=by > self.rules.step.largest + 1e-6,
        )

    def _climb(self, rungs: list[Rung], found: Iterable[Rung], last: Rung, *, through: bool) -> list[Rung]:
        """Go up as far as the candidates lead below the last rung; unless `through`, until that is within one step."""
        found, rungs = list(found), list(rungs)
        while len(rungs) < MOST and (through or self._after(rungs[-1], last).flagged):
            nexts = [self._after(rungs[-1], rung) for rung in found if self._is_below(rung, last)]
            nexts = [rung for rung in nexts if rung.rise >= self._least(rungs[-1], rung)]
            if not nexts:
                break
            rungs.append(min(nexts, key=_preference))
        return rungs

    def _least(self, before: Rung, rung: Rung) -> float:
        """The least rise of a step: a change of movement may ask the same, since it is another thing to learn."""
        return self.rules.step.least if before.plan.movement == rung.plan.movement else 0.0

    def _is_below(self, rung: Rung, last: Rung) -> bool:
        return (
            rise(rung.measures, last.measures, same=rung.plan.movement == last.plan.movement) >= self.rules.step.least
        )

    def _steps(self, movement: Movement, owned: Prescription, goal: Prescription) -> list[Rung]:
        """What a movement offers on the way, done as it usually is, or as what is owned or the goal is."""
        ends = [end for end in (owned, goal) if end.movement == movement.name]
        ways: list[Keys] = [way_of(end) for end in ends] or [{}]
        if any(end.band for end in (owned, goal)):
            ways = [{**way, **help_} for way in ways for help_ in ({}, *helped(movement, self.available))]
        if goal.load is not None:
            ways = [{**way, **load} for way in ways for load in ({}, *loaded(movement, self.available))]
        support = support_of(ends[0]) if ends else None
        return self._measured(movement, levers(movement, support, self.available, self.rules), ways)

    def _filled(self, rungs: list[Rung]) -> list[Rung]:
        """With bands, lowering and holding put into each step that is too large."""
        filled = rungs[:1]
        for rung in rungs[1:]:
            step = self._after(filled[-1], rung)
            if step.flagged:
                between = self._climb(filled[-1:], self._fills(step.plan), step, through=False)[1:]
                filled += [replace(each, fills=True) for each in between]
                step = replace(self._after(filled[-1], step), alone=step.rise)
            filled.append(step)
        return filled

    def _fills(self, plan: Prescription) -> list[Rung]:
        """The same lever with each band; without bands lowered only, and held."""
        movement = load_movement(plan.movement).as_variant(plan.variant)
        lever = {key: value for key in LEVER_KEYS if (value := getattr(plan, key)) is not None}
        ways = [{**way_of(plan), **band} for band in helped(movement, self.available)] or other_ways(movement)
        return self._measured(movement, [lever], ways)

    def _dosed(self, rungs: list[Rung]) -> list[Rung]:
        """Each step that is still too large with more of the dose before it, and less of its own at first."""
        dosed = rungs[:1]
        for before, rung in pairwise(rungs):
            if rung.flagged:
                small = less(rung.plan, self.rules.start.flagged)
                dosed.append(replace(rung, plan=small, first=more(before.plan)))
            else:
                dosed.append(rung)
        return dosed

    def _measured(self, movement: Movement, lever: Iterable[Keys], ways: Iterable[Keys]) -> list[Rung]:
        found = [(plan, self.scale(plan)) for plan in plans(movement, lever, ways, self.rules)]
        return [Rung(plan, measures, measures) for plan, measures in found if measures is not None]


def _preference(rung: Rung) -> tuple[bool, float, int, float]:
    """Steps that are not too large first, of them those that change least, of them the smallest."""
    return rung.flagged, rung.rise if rung.flagged else len(rung.changed), rung.keys, rung.rise
