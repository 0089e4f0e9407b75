"""A path: what to prescribe from where an athlete is to what is out of reach, step by step, with the numbers behind it."""

from collections.abc import Callable
from typing import Final, Literal

from models.body.athlete import Athlete
from models.body.catalogue import asked_of, mode_of, situation_of
from models.body.demand import Demand, demand_of
from models.body.doubts import catalogue_angles
from models.errors import PathError
from models.movements import load_movement
from models.movements.demand import End, LimitedBy
from models.path.available import Available
from models.path.lay import Layer, Rung
from models.path.measures import Scale, entry_of, legs
from models.path.rules import Rules
from models.prescription import Prescription
from models.quantity import Frozen, Measured, Q

VERSION: Final = "plumbrep.path/1"


class Step(Frozen):
    """One variant on the way, with the dose to start at.

    `hands` is the load at the hands and `limiting` what limits this movement, in its own unit. `share` is what limits the
    goal, in % of the goal, after what a body can bear in this way of moving; `rise` by how many % more the step asks
    than the one before, after the same; `changed` which scalings differ from it.
    `flagged`: the rise is larger than the rules want; then `first` is what to reach at the step before. `fills`: it is
    there because the next lever alone would be too large a step.
    """

    n: int
    prescription: Prescription
    hands: Q
    limit: LimitedBy
    limiting: Q
    share: Q
    rise: float | None = None
    changed: tuple[str, ...] = ()
    flagged: bool = False
    fills: bool = False
    first: Prescription | None = None


class Path(Frozen):
    """Step 0 is what the athlete owns, the last one the goal. `halted` says why no step up is offered, if so."""

    document: Literal["plumbrep.path/1"] = VERSION
    goal: Prescription
    goal_limit: LimitedBy
    athlete: Athlete
    steps: tuple[Step, ...]
    halted: str | None = None
    notes: tuple[str, ...] = ()


def lay_path(
    owned: Prescription,
    goal: Prescription,
    athlete: Athlete,
    *,
    available: Available | None = None,
    rules: Rules | None = None,
    halted: str | None = None,
    report: Callable[[str, float], None] | None = None,
) -> Path:
    """The steps from what is owned to the goal.

    Args:
        owned: What the athlete owns, with its dose.
        goal: What is out of reach.
        athlete: As far as known. Without a mass, bands and loads have no number and are left out.
        available: What is there to scale with.
        rules: How large a step may be, and the doses to start at.
        halted: Why no step up may be offered (pain that nobody cleared); the path is then only what is owned.
        report: Told what is done and how far it is, 0 to 1.

    Raises:
        PathError: no path can be laid, and why.
        DemandError: the catalogue does not say what one of them asks of the body.
    """
    rules, available = rules or Rules(), available or Available()
    available, notes = _known(owned, goal, athlete, available)
    scale = Scale(goal, athlete, rules.bearing)
    rungs = Layer(scale, available, rules).lay(owned, goal)
    if halted:
        rungs = rungs[:1]
    steps = []
    for n, rung in enumerate(rungs):
        if report:
            report("what each step asks", n / len(rungs))
        steps.append(_step(n, rung, goal, athlete, rules))
    return Path(goal=goal, goal_limit=scale.limit, athlete=athlete, steps=tuple(steps), halted=halted, notes=notes)


def _known(
    owned: Prescription, goal: Prescription, athlete: Athlete, available: Available
) -> tuple[Available, tuple[str, ...]]:
    """What can be used for this athlete, and what must be said."""
    if athlete.refused:
        raise PathError(f"no path can be laid: {athlete.refused}")
    for plan in (owned, goal):
        if plan.partner is not None:
            raise PathError("a partner's help has no number, so no path can start or end there; name it without")
        if athlete.mass_kg is None and (plan.band is not None or plan.load is not None):
            raise PathError("a band or a load has no share of an unknown body weight; tell the athlete's mass")
    if athlete.mass_kg is None and (available.bands or available.loads_kg):
        note = "The mass is not told, so bands and loads are left out: they have no share of it."
        return Available(boxes_cm=available.boxes_cm), (note,)
    return available, ()


def _step(n: int, rung: Rung, goal: Prescription, athlete: Athlete, rules: Rules) -> Step:
    own, limit = entry_of(rung.plan).limit, entry_of(goal).limit
    demand = _against(rung.plan, goal, own, None, athlete, rules)
    same = own == limit and rung.measures.end in (None, entry_of(rung.plan).hard)
    share = demand if same else _against(rung.plan, goal, limit, rung.measures.end, athlete, rules)
    return Step(
        n=n,
        prescription=rung.plan,
        hands=demand.hands,
        limit=own,
        limiting=demand.limiting,
        share=_by_leg(share.effort, rung.plan, goal),
        rise=rung.rise if n else None,
        changed=rung.changed,
        flagged=rung.flagged,
        fills=rung.fills,
        first=rung.first,
    )


def _by_leg(share: Q, plan: Prescription, goal: Prescription) -> Q:
    """A share of the goal's moment at hip or knee, told for one leg: where two share it, each bears half."""
    limit = entry_of(goal).limit
    factor = legs(goal, limit) / legs(plan, limit)
    if isinstance(share, Measured):
        return share.model_copy(update={"value": share.value * factor, "U95": share.U95 * factor})
    return share


def _against(
    plan: Prescription, goal: Prescription, limit: LimitedBy, end: End | None, athlete: Athlete, rules: Rules
) -> Demand:
    """What a variant asks, by what limits it here, against the goal."""
    movement, scalings = load_movement(plan.movement), plan.scalings()
    situation = situation_of(movement, plan.variant, scalings, end)
    full = situation_of(load_movement(goal.movement), goal.variant, goal.scalings())
    full_mode = mode_of(load_movement(goal.movement), goal.scalings())
    asked = asked_of(movement, plan.variant, scalings, rules.bearing)
    asked = asked.model_copy(update={"limit": limit, "full_mode": full_mode})
    return demand_of(situation, athlete, asked, full=full, angles=catalogue_angles(situation))
