"""Postures that the catalogue names, complete: what a clip of each movement should show at its ends or in its hold."""

from collections.abc import Iterable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.body.athlete import Athlete
from models.body.catalogue import situation_of
from models.body.doubts import inputs
from models.body.figure import seam
from models.body.situation import solve
from models.errors import DemandError
from models.movements.demand import End
from models.movements.movement import Movement

Array = NDArray[np.float64]
Way = dict[End, Array]
"""Postures of one way of doing a movement."""

SPREAD: Final = np.array([20.0, 25.0, 20.0, 25.0, 25.0, 35.0, 35.0])
"""Degrees by which a posture that is seen usually differs from the catalogue's; the far leg is seen badly."""
OTHER_LEG: Final = [0, 1, 2, 5, 6, 3, 4]
"""Places of a posture whose other leg is the working one."""
FROM_THE_FRONT: Final = (0, 2, 4)
"""Places of a posture that a view from the front shows, as far as they are bent: trunk, elbow, knee."""
ON_THE_FEET: Final = (0, 3, 4, 5, 6)
"""Places that count where the hands bear nothing: arms that are free do as they like."""


def expected(movement: Movement) -> tuple[Way, ...]:
    """The postures of the movement itself and of each of its variants, as far as the catalogue names them.

    A posture (7,) is the direction of the trunk from hips to shoulders (degrees: 0 level with the belly down, 90 upright,
    180 level with the belly up, -90 upside down), then shoulder, elbow, hip and knee of the working limbs, then hip and
    knee of the other leg. Angles that the catalogue leaves open are found from where the body rests.
    """
    ways = (_postures(movement, variant) for variant in (None, *movement.variants))
    return tuple(way for way in ways if way)


def in_spreads(seen: Array, wanted: Array) -> Array:
    """How far postures (..., 7) lie from others, the shorter way round, each angle in its spread."""
    return seam(seen - wanted) / SPREAD


def unsigned(posture: Array) -> Array:
    """A posture as an oblique view shows it: the trunk's angle to the floor, and how far each joint is bent."""
    upward = np.degrees(np.arcsin(np.sin(np.radians(posture[0]))))
    return np.array([upward, *np.abs(seam(posture[1:]))])


def counting(movement: Movement) -> Iterable[int]:
    """Places of a posture by which a movement is told."""
    if movement.plane == "frontal":
        return FROM_THE_FRONT
    return ON_THE_FEET if hands_are_free(movement) else range(len(SPREAD))


def hands_are_free(movement: Movement) -> bool:
    """Whether the hands bear nothing."""
    return movement.demand is not None and movement.demand.hands == "none"


def _postures(movement: Movement, variant: str | None) -> Way:
    demand = movement.as_variant(variant).demand
    found: Way = {}
    for end in demand.ends if demand is not None else ():
        try:
            found[end] = _posture(movement, variant, end)
        except DemandError:  # its supports cannot hold this posture; the others may
            continue
    return found


def _posture(movement: Movement, variant: str | None, end: End) -> Array:
    situation = situation_of(movement, variant, end=end)
    posture = solve(situation, inputs(Athlete(), "mean")).settled.posture
    other = (posture.hip, posture.knee) if posture.other_hip is None else (posture.other_hip, posture.other_knee)
    return np.array([posture.pitch, posture.shoulder, posture.elbow, posture.hip, posture.knee, *other])
