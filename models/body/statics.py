"""Quasi-static equilibrium in the plane: forces at hands and feet, and the moments that the muscles must give.

Free-body diagrams of rigid segments (Winter DA 2009, Biomechanics and Motor Control of Human Movement, 4th ed., ch. 5)
without accelerations. Units: body weights, heights, and their product.

- **Hands and feet bear.** The hands' force has a known direction; its size follows from the moments about the feet, where
  friction takes up the rest. On the floor, where statics alone cannot tell how hard a person pushes along it, the
  direction is vertical but for `Supports.lean`.
- **Hands or feet alone bear.** Their force is the rest of the weight, in line with the centre of mass; where that is not
  over (or under) the contact, the wrists or the ankles hold the difference.
"""

from dataclasses import dataclass

from models.body.build import Build
from models.body.figure import LEGS, LOWER_LEGS, Figure, Part
from models.body.supports import Force, Supports, carried, cross, feet_bear
from models.errors import DemandError
from models.movements.demand import Joint

BEYOND: dict[Joint, frozenset[Part]] = {
    "shoulder": LEGS | {"trunk"},
    "elbow": LEGS | {"trunk", "upper_arm"},
    "hip": LEGS,
    "knee": LOWER_LEGS,
}
"""Parts on the feet's side of each joint."""
FLEXES: dict[Joint, float] = {"shoulder": 1.0, "elbow": 1.0, "hip": -1.0, "knee": 1.0}
"""Sign of a flexors' moment for a load that turns the feet's side counterclockwise."""
OTHER: frozenset[Part] = frozenset({"other_thigh", "other_lower_leg"})


@dataclass(frozen=True, slots=True)
class Equilibrium:
    """What keeps the body still.

    Forces on the body at hands and feet, and where they act; the moments that the muscles give, of both sides together,
    positive where the flexors work; the forces that were given: gravity, load and band.
    """

    hands: complex
    hands_at: complex
    feet: complex
    feet_at: complex
    moments: dict[Joint, float]
    given: tuple[Force, ...]


def equilibrium(body: Figure, supports: Supports, build: Build, hands_at: complex, pull: complex) -> Equilibrium:
    """Solve for the forces and moments.

    Args:
        body: Joints and masses of the posture.
        supports: What bears, and what helps or loads.
        build: The body's lengths.
        hands_at: Where the hands bear.
        pull: Direction of the hands' force on the body, where the feet bear too (length 1).

    Raises:
        DemandError: no force in that direction keeps the body still.
    """
    given = carried(body, supports, build, hands_at)
    rest = -sum((force.force for force in given), 0j)
    feet_at = feet_bear(body, supports, build)
    if supports.feet == "none":
        hands, feet = rest, 0j
        hands_at += _shift(given, hands_at, hands)
    elif supports.hands == "none":
        hands, feet = 0j, rest
        feet_at += _shift(given, feet_at, feet)
    else:
        hands = pull * _size(given, feet_at, hands_at, pull)
        feet = rest - hands
    moments = _moments(body, supports, given, feet, feet_at)
    return Equilibrium(hands, hands_at, feet, feet_at, moments, tuple(given))


def _size(given: list[Force], feet_at: complex, hands_at: complex, pull: complex) -> float:
    """Size of the hands' force that balances the moments about the feet."""
    arm = cross(hands_at - feet_at, pull)
    turning = -sum(force.about(feet_at) for force in given)
    if abs(arm) < 0.01 or turning / arm < 0:
        raise DemandError(
            "hands and feet cannot hold the body like this: it would tip over the feet; change the posture"
        )
    return turning / arm


def _shift(given: list[Force], at: complex, force: complex) -> float:
    """How far along the floor the only support's force lies from its contact."""
    if force.imag < 0.01:
        raise DemandError("the help carries the whole body; use a weaker band")
    return -sum(each.about(at) for each in given) / force.imag


def _moments(
    body: Figure, supports: Supports, given: list[Force], feet: complex, feet_at: complex
) -> dict[Joint, float]:
    forces = list(given)
    if supports.feet != "none":
        forces.append(Force("thigh" if supports.feet == "knees" else "lower_leg", feet_at, feet))
    one_leg = supports.feet != "none" and body.other is not None
    moments: dict[Joint, float] = {}
    for joint, parts in BEYOND.items():
        counted = parts - OTHER if one_leg and joint in ("hip", "knee") else parts
        turning = sum(force.about(_centre(body, joint, force.part)) for force in forces if force.part in counted)
        moments[joint] = FLEXES[joint] * turning
    return moments


def _centre(body: Figure, joint: Joint, part: Part) -> complex:
    if joint == "knee":
        return body.other.knee if part in OTHER and body.other is not None else body.leg.knee
    return {"shoulder": body.shoulder, "elbow": body.elbow, "hip": body.hip}[joint]
