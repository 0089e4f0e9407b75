"""How much a variant asks, in the few numbers by which a path is laid.

Within one movement variants are ordered by what limits it: the load at the hands, or the moment at a joint. Across
movements two numbers are compared, since neither tells all: the load at the hands, and the moment at the joint that
limits the goal. All are divided by what a body can bear in that way of moving (raise, hold, lower).
"""

from contextlib import suppress
from dataclasses import dataclass, replace

from models.body.athlete import Athlete
from models.body.bearing import Bearing
from models.body.catalogue import mode_of, situation_of
from models.body.demand import SEXES
from models.body.doubts import inputs
from models.body.situation import Solved, solve
from models.errors import DemandError
from models.movements import load_movement
from models.movements.demand import DemandEntry, End, Joint, LimitedBy
from models.prescription import Prescription

HARDLY = 25.0
"""Percent of body weight, or of the goal's moment, below which hands or a joint are hardly loaded: from one movement to
another a rise is told against this at least."""


@dataclass(frozen=True)
class Measures:
    """Of one variant: `own`, by what limits its movement; `hands`, in % of body weight; `joint`, in % of the goal's own
    moment at the joint that limits the goal, negative where it turns the other way, None where the hands limit it; it is
    that of the posture `end` in which it is largest (None: the hard one, or that of the hold).
    """

    own: float
    hands: float
    joint: float | None
    end: End | None = None

    def at_least(self, other: "Measures") -> "Measures":
        """The larger of both, by the load at the hands and by the goal's joint."""
        joint = self.joint if other.joint is None or self.joint is None else max(self.joint, other.joint)
        return replace(self, hands=max(self.hands, other.hands), joint=joint)


def rise(before: Measures, after: Measures, *, same: bool) -> float:
    """By how many percent of what was asked before the later one asks more.

    Within the same movement by what limits it; from one movement to another by the load at the hands or the moment at
    the goal's joint, whichever grows more.
    """
    if same:
        return 100 * (after.own / before.own - 1)
    hands = 100 * (after.hands - before.hands) / max(before.hands, HARDLY)
    if before.joint is None or after.joint is None:
        return hands
    return max(hands, 100 * (after.joint - before.joint) / max(before.joint, HARDLY))


class Scale:
    """Measures variants against one goal, for one athlete.

    Raises:
        DemandError: the catalogue does not say what the goal asks, or no posture fits it.
    """

    def __init__(self, goal: Prescription, athlete: Athlete, bearing: Bearing) -> None:
        self.values = inputs(athlete, SEXES[athlete.sex][0])
        self.bearing = bearing
        self.limit: LimitedBy = entry_of(goal).limit
        self.full = None if self.limit == "hands" else max(self._moments(goal, self.limit).values(), key=abs)

    def __call__(self, plan: Prescription) -> Measures | None:
        """The measures, or None where the model finds no posture for it, or one that is no longer this movement."""
        limit = entry_of(plan).limit
        try:
            solved = self._solve(plan, None)
        except DemandError:
            return None
        if not _is_still(plan, solved):
            return None
        held = solved.held
        factor = self._factor(plan)
        own_factor = factor * legs(plan, limit)
        hands = 100 * abs(held.hands) / factor
        own = hands if limit == "hands" else 100 * abs(held.moments[limit]) / own_factor
        if self.limit == "hands" or self.full is None:
            return Measures(own, hands, None)
        shares = {end: 100 * moment / self.full for end, moment in self._moments(plan, self.limit).items()}
        end = max(shares, key=lambda each: shares[each])
        return Measures(own, hands, shares[end], end)

    def _moments(self, plan: Prescription, joint: Joint) -> dict[End | None, float]:
        """The moment at a joint at each end of the range, or in the hold, as far as a posture is found."""
        divisor = self._factor(plan) * legs(plan, joint)
        ends: tuple[End | None, ...] = (None,) if plan.hold is not None else entry_of(plan).ends
        found = {}
        for end in ends:
            with suppress(DemandError):
                found[end] = self._solve(plan, end).held.moments[joint] / divisor
        return found or {None: self._solve(plan, None).held.moments[joint] / divisor}

    def _solve(self, plan: Prescription, end: End | None) -> Solved:
        return solve(situation_of(load_movement(plan.movement), plan.variant, plan.scalings(), end), self.values)

    def _factor(self, plan: Prescription) -> float:
        return self.bearing.factor(mode_of(load_movement(plan.movement), plan.scalings()))


def _is_still(plan: Prescription, solved: Solved) -> bool:
    """Whether the trunk lies as the catalogue says that it does in this movement, not past upright or upside down."""
    pitch = solved.settled.posture.pitch
    trunk = 180 - pitch if entry_of(plan).belly == "up" else pitch
    band = load_movement(plan.movement).position.trunk
    return band.low <= trunk <= band.high


def legs(plan: Prescription, limit: LimitedBy) -> int:
    """Between how many legs a moment at hip or knee is shared."""
    entry = entry_of(plan)
    both = limit in ("hip", "knee") and entry.feet != "none" and entry.pose().other_leg is None
    return 2 if both else 1


def entry_of(plan: Prescription) -> DemandEntry:
    """What the catalogue says that a variant asks of the body.

    Raises:
        DemandError: it says nothing.
    """
    entry = load_movement(plan.movement).as_variant(plan.variant).demand
    if entry is None:
        raise DemandError(
            f"the catalogue does not say what {plan.movement} asks of the body; add a [demand] to its file"
        )
    return entry
