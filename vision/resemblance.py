"""How much a body in a picture looks like one that does a movement, before anything is measured.

It tells the athlete from somebody who holds their ankles or stands by. Postures are read off the picture as it is, as if
the phone were level and square to the athlete: of two people, who is meant shows all the same.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.body.figure import seam
from models.document import Side
from models.movements.movement import Movement
from vision import angles as goniometry
from vision.expected import OTHER_LEG, Way, counting, expected, in_spreads, unsigned
from vision.skeleton import INDEX, OTHER_SIDE, SIDES

Array = NDArray[np.float64]

WEIGHTS: Final = np.array([2, 1, 1, 1, 0.5, 0.5, 0.25])
"""What each place of a posture counts: the trunk most, legs least, which people bend and part as they like."""
FURTHEST: Final = 3.0
"""Spreads from what is wanted beyond which an angle is simply another one."""
UNLIKE: Final = 0.5
"""Who looks less like doing the movement than this does something else."""
ALIKE: Final = 0.6
"""Who looks more like it than this is followed in place of somebody who does something else."""
BETWEEN: Final = np.linspace(0, 1, 5)
"""Steps of a stroke, from the straight end to the bent one."""


@dataclass(frozen=True)
class Sought:
    """Postures that somebody who does a movement shows."""

    postures: Array
    """(postures, 7) as in `vision.expected`."""
    weights: Array
    """(7,) adding up to one."""
    signed: bool
    """Whether the view tells bending forwards from bending backwards."""


def sought(movement: Movement) -> Sought | None:
    """What to look for; None where the catalogue names no posture."""
    postures = [posture for way in expected(movement) for posture in _passed(way)]
    if not postures:
        return None
    signed = movement.plane == "sagittal"
    weights = np.where(np.isin(np.arange(len(WEIGHTS)), list(counting(movement))), WEIGHTS, 0.0)
    wanted = np.array(postures if signed else [unsigned(posture) for posture in postures])
    return Sought(wanted, weights / weights.sum(), signed)


def resemblance(points: Array, wanted: Sought) -> Array:
    """How much each body (bodies, joints, 2) looks like the nearest posture sought, 0 to 1."""
    if not len(points):
        return np.zeros(0)
    return np.asarray(np.exp(-np.min([apart(points, near, wanted) for near in SIDES], axis=0) / 2))


def apart(points: Array, near: Side, wanted: Sought) -> Array:
    """Mean square (bodies,), in spreads, by which bodies whose `near` side faces the lens differ from what is sought."""
    seen = _postures(points, near)
    read = seen if wanted.signed else np.array([unsigned(each) for each in seen])
    asked = np.concatenate([wanted.postures, wanted.postures[:, OTHER_LEG]])  # either leg may be the working one
    off = np.minimum(in_spreads(read[:, None], asked) ** 2, FURTHEST**2)
    return np.asarray((off @ wanted.weights).min(1))


def _passed(way: Way) -> list[Array]:
    """Postures (7,) that one way of doing a movement passes through."""
    if not {"straight", "bent"} <= way.keys():
        return list(way.values())
    turn = way["bent"] - way["straight"]
    turn[0] = seam(turn[0])
    return [way["straight"] + step * turn for step in BETWEEN] + [way[end] for end in way if end == "held"]


def _postures(points: Array, near: Side) -> Array:
    """Postures (bodies, 7) of bodies whose `near` side faces the lens."""
    far = OTHER_SIDE[near]
    shoulder, elbow, wrist, hip, knee, ankle = (
        points[:, INDEX[f"{near}_{name}"]] for name in ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")
    )
    other_knee, other_ankle = (points[:, INDEX[f"{far}_{name}"]] for name in ("knee", "ankle"))
    x, down = (shoulder - hip).T
    return np.stack(
        [
            np.degrees(np.arctan2(-down, x if near == "right" else -x)),
            goniometry.shoulder_flexion(hip, shoulder, elbow, near),
            goniometry.elbow_flexion(shoulder, elbow, wrist, near),
            goniometry.hip_flexion(shoulder, hip, knee, near),
            goniometry.knee_flexion(hip, knee, ankle, near),
            goniometry.hip_flexion(shoulder, hip, other_knee, near),
            goniometry.knee_flexion(hip, other_knee, other_ankle, near),
        ],
        axis=-1,
    )
