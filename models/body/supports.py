"""What holds the body up: where hands and feet bear, which way a support pulls, what a band gives and a load adds.

Units as in `models.body.figure`: lengths in heights, forces in body weights. Forces are those on the body, up positive.
"""

from bisect import bisect_right
from cmath import rect
from dataclasses import dataclass
from math import radians
from typing import Final

from models.body.build import Build
from models.body.figure import Figure, Leg, Part
from models.body.lengths import BALL, FOREARM, HEEL, KNEE
from models.errors import DemandError
from models.movements.demand import FootSupport, HandSupport
from models.scaling import HelpAt, LoadAt

SHORTEST: Final = 0.01
"""Share of height under which a band has no direction."""
LYING: Final = 0.1
"""Slope upward from the knee (sine) under which a lower leg is taken to lie on the floor."""


@dataclass(frozen=True, slots=True)
class Load:
    """Added weight, in body weights, and where it hangs."""

    weight: float
    at: LoadAt


@dataclass(frozen=True, slots=True)
class Pull:
    """A band: its pull by its length, a fixed pull if only one point is known; where it holds the body; where it hangs.

    `up` is the height of its upper end over the hands; it is in line with them, or over the body where `overhead`.
    """

    at: HelpAt
    points: tuple[tuple[float, float], ...]
    up: float = 0.0
    overhead: bool = False

    def of_length(self, length: float) -> float:
        """Pull at a length: straight lines between the points, going on beyond both ends, and never a push."""
        if len(self.points) == 1:
            return self.points[0][1]
        at = min(max(bisect_right(self.points, (length,)), 1), len(self.points) - 1)
        (short, less), (long, more) = self.points[at - 1], self.points[at]
        return max(0.0, less + (more - less) * (length - short) / (long - short))


@dataclass(frozen=True, slots=True)
class Supports:
    """What bears. `rise` is how much higher the hands' support is than the feet's; `anchor` is where straps hang from,
    seen from where the feet bear; `lean` is how far a push on the floor leans from the vertical, degrees counterclockwise;
    `foot` is where a flat foot bears, share of its length from the heel.
    """

    hands: HandSupport
    feet: FootSupport
    rise: float = 0.0
    anchor: complex | None = None
    lean: float = 0.0
    foot: float = 0.5
    load: Load | None = None
    band: Pull | None = None


@dataclass(frozen=True, slots=True)
class Force:
    """A force on one part of the body, and where."""

    part: Part
    at: complex
    force: complex

    def about(self, point: complex) -> float:
        """Its moment about a point, counterclockwise positive."""
        return cross(self.at - point, self.force)


def cross(arm: complex, force: complex) -> float:
    """Moment of a force at the end of an arm."""
    return arm.real * force.imag - arm.imag * force.real


def hands_bear(body: Figure, supports: Supports, build: Build) -> complex:
    """Where the hands bear: the heel of a flat hand, the middle of a closed one, the forearm near the elbow."""
    length = build.length
    if supports.hands == "forearms":
        return body.elbow + FOREARM * (body.wrist - body.elbow) - 1j * length["wrist"]
    if supports.hands == "floor":
        return body.wrist + complex(body.palm * length["palm"], -length["wrist"])
    return body.wrist + body.forearm * length["grip"]


def feet_bear(body: Figure, supports: Supports, build: Build) -> complex:
    """Where the feet bear: the ball of a foot on its toes, the heel, the middle of a flat foot, or under the knee."""
    leg, sole, foot = body.leg, build.length["sole"], build.length["foot"]
    if supports.feet == "knees":
        return leg.knee - 1j * KNEE
    if supports.feet == "flat":
        return leg.ankle + complex(ahead(leg) * (supports.foot - HEEL) * foot, -sole)
    return leg.ankle + leg.along * sole + leg.toes * foot * ((BALL if supports.feet == "toes" else 0.0) - HEEL)


def pressed(supports: Supports) -> bool:
    """Whether the hands press down on what bears them, rather than hang from it."""
    return supports.hands in ("floor", "forearms")


def push(supports: Supports) -> complex:
    """Direction of a push on something that stays where it is."""
    return 1j * rect(1, radians(supports.lean))


def pivot(body: Figure, supports: Supports, build: Build) -> complex:
    """The point of the body that stays where it is while the body turns over its feet."""
    if supports.feet == "knees":
        return body.leg.knee
    return body.leg.ankle if supports.feet == "flat" else feet_bear(body, supports, build)


def ahead(leg: Leg) -> float:
    """The way along the floor in which a flat foot points: +1 or -1."""
    return 1.0 if leg.toes.real >= 0 else -1.0


def carried(body: Figure, supports: Supports, build: Build, hands: complex) -> list[Force]:
    """The forces of gravity on body and load, and of a band.

    On the knees, lower legs that lie on the floor bear themselves; held up in the air they weigh on the body.
    """
    lying = supports.feet == "knees" and body.leg.along.imag < LYING
    forces = [Force(m.part, m.at, -1j * m.share) for m in body.masses if not (lying and m.part == "lower_leg")]
    if supports.load is not None:
        forces += [Force(part, at, -1j * supports.load.weight / n) for part, at, n in _hangs(body, supports.load.at)]
    if supports.band is not None:
        forces.append(_band(body, supports.band, build, hands))
    return forces


def _hangs(body: Figure, at: LoadAt) -> list[tuple[Part, complex, int]]:
    if at == "belt":
        return [("trunk", body.hip, 1)]
    if at in ("vest", "back"):
        return [("trunk", body.chest, 1)]
    if body.other is None:
        return [("lower_leg", body.leg.ankle, 1)]
    return [("lower_leg", body.leg.ankle, 2), ("other_lower_leg", body.other.ankle, 2)]


def _band(body: Figure, band: Pull, build: Build, hands: complex) -> Force:
    places: dict[HelpAt, tuple[Part, complex]] = {
        "feet": ("lower_leg", body.leg.ankle + body.leg.along * build.length["sole"]),
        "knees": ("lower_leg", body.leg.knee),
        "hips": ("trunk", body.hip),
        "chest": ("trunk", body.chest),
    }
    part, at = places[band.at]
    reach = hands + 1j * band.up - at
    if band.overhead:
        reach = complex(0, reach.imag if len(band.points) > 1 else 1)
    if abs(reach) < SHORTEST or (band.overhead and reach.imag < 0):
        raise DemandError("the band's upper end is not over the body; write how high it hangs over the hands")
    return Force(part, at, reach / abs(reach) * band.of_length(abs(reach)))
