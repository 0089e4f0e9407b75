"""Body points that are no landmarks, and the supports under hands and feet, from the joints of the near side.

Points lie in the athlete's middle plane (`vision.plane`), in shares of standing height; shares come in as numbers, so
that their doubt can be carried through. What each point is: `models.movements.standard`.
"""

from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.movements.standard import HIP_CREASE, KNEE_TOP, BodyPoint, Support
from vision.body_angles import HIP_FORWARD
from vision.plane import Points, front

Array = NDArray[np.float64]
Shares = Mapping[str, float]

SHARES: Final[dict[str, float]] = {
    "face_tilt": 0.175,
    "chin_ahead": 0.0115,
    "chin_below": 0.052,
    "skull_behind": 0.0255,
    "skull_above": 0.026,
    "skull_radius": 0.056,
    "chest_depth": 0.068,
    "chest_down": 0.28,
    "shoulder_rise": 0.0,
    "hip_forward": HIP_FORWARD,
    "hip_crease": HIP_CREASE,
    "knee_top": KNEE_TOP,
    "grip": 0.048,
    "palm": 0.026,
    "sole": 0.039,
}
"""Shares of height, but for `chest_down` and `hip_forward` (of the trunk's length) and `face_tilt` (radians).

The face, from memory of facial anthropometry (Farkas 1994; ANSUR, Gordon et al. 1989): from the ear (tragion) the
nose's tip lies .071 ahead and .0125 below, the chin .047 ahead and .058 below, the crown .075 above; so from the middle
between ear and nose the chin lies .0115 ahead and .052 below, and the skull is nearly a ball of radius .056 (head
length .112) whose centre lies .0255 behind and .026 above. The line from ear to nose points .175 rad (10 degrees) below
straight ahead. Half of the chest's depth, .137 (ANSUR, from memory), lies before the shoulder joints. The lower end of
the breastbone lies at .30 (men) and .22 (women) of the way from shoulders to hips (de Leva 1996, table 4, lengths from
memory), the fullest place of the chest about there. Wrist to grip: from the wrist's centre to the third knuckle, .049
and .045 (de Leva 1996, lengths from memory). Wrist over the palm: the heel of the hand (judgement). Ankle over the
sole: Drillis & Contini 1966.
"""
SHARES_U: Final[dict[str, float]] = {
    "face_tilt": 0.2,
    "chin_ahead": 0.006,
    "chin_below": 0.006,
    "skull_behind": 0.005,
    "skull_above": 0.005,
    "skull_radius": 0.003,
    "chest_depth": 0.010,
    "chest_down": 0.05,
    "shoulder_rise": 0.025,
    "hip_forward": 0.03,
    "hip_crease": 0.010,
    "knee_top": 0.006,
    "grip": 0.008,
    "palm": 0.007,
    "sole": 0.007,
}
"""Standard uncertainties of the same: people differ, and landmarks do not sit where anatomists measure (judgement). That
of `shoulder_rise` is drawn: in the depth of a dip the landmark was up to .055 too high on the trunk."""

NEEDS: Final[dict[BodyPoint | Support, tuple[str, ...]]] = {
    "head": ("ear", "nose"),
    "chin": ("ear", "nose"),
    "chest": ("shoulder", "hip"),
    "hip_crease": ("shoulder", "hip", "knee"),
    "knee_top": ("knee", "ankle"),
    "shoulder": ("shoulder", "hip"),
    "elbow": ("elbow",),
    "hip": ("shoulder", "hip"),
    "knee": ("knee",),
    "ankle": ("ankle",),
    "grip": ("wrist", "index"),
    "palms": ("wrist",),
    "soles": ("ankle", "heel", "toe"),
}
"""Landmarks that each is read from."""


def face_axes(points: Points, shares: Shares) -> tuple[Array, Array]:
    """Unit vectors straight ahead and to the crown of the head."""
    x, up = points["nose"] - points["ear"]
    angle = np.arctan2(up, x) + shares["face_tilt"]
    return np.array([np.cos(angle), np.sin(angle)]), np.array([-np.sin(angle), np.cos(angle)])


def chin(points: Points, shares: Shares) -> Array:
    """The lowest point of the chin."""
    ahead, crown = face_axes(points, shares)
    middle = (points["ear"] + points["nose"]) / 2
    return np.asarray(middle + shares["chin_ahead"] * ahead - shares["chin_below"] * crown)


def skull(points: Points, shares: Shares) -> Array:
    """The middle of the skull."""
    ahead, crown = face_axes(points, shares)
    middle = (points["ear"] + points["nose"]) / 2
    return np.asarray(middle - shares["skull_behind"] * ahead + shares["skull_above"] * crown)


def chest(points: Points, shares: Shares) -> tuple[Array, Array]:
    """Upper and lower end of the front of the trunk that is called the chest."""
    trunk = points["shoulder"] - hip(points, shares)
    upper = points["shoulder"] + shares["chest_depth"] * front(trunk)
    return upper, upper - shares["chest_down"] * trunk


def shoulder(points: Points, shares: Shares) -> Array:
    """The shoulder's joint centre, as far as the landmark shows it: loaded, it slides up the trunk."""
    trunk = points["shoulder"] - points["hip"]
    return np.asarray(points["shoulder"] - shares["shoulder_rise"] * trunk / np.linalg.norm(trunk))


def hip(points: Points, shares: Shares) -> Array:
    """The hip's joint centre, which lies further back than the landmark."""
    trunk = points["shoulder"] - points["hip"]
    return np.asarray(points["hip"] - shares["hip_forward"] * np.linalg.norm(trunk) * front(trunk))


def hip_crease(points: Points, shares: Shares) -> Array:
    """The fold between trunk and thigh."""
    joint = hip(points, shares)
    both = front(points["shoulder"] - joint) + front(joint - points["knee"])
    return np.asarray(joint + shares["hip_crease"] * both / np.linalg.norm(both))


def knee_top(points: Points, shares: Shares) -> Array:
    """The upper edge of the kneecap, in line with the shank."""
    shank = points["knee"] - points["ankle"]
    return np.asarray(points["knee"] + shares["knee_top"] * shank / np.linalg.norm(shank))


def grip(points: Points, shares: Shares) -> Array:
    """The middle of the closed hand, from where wrist and knuckle rest."""
    along = points["index"] - points["wrist"]
    return np.asarray(points["wrist"] + shares["grip"] * along / np.linalg.norm(along))


def palms(points: Points, shares: Shares) -> Array:
    """Where the open hands press."""
    return np.asarray(points["wrist"] - np.array([0.0, shares["palm"]]))


def soles(points: Points, shares: Shares) -> Array:
    """Where the feet press: under the ankle of a flat foot, at the lower end of a tilted one."""
    under = points["ankle"] - np.array([0.0, shares["sole"]])
    return np.asarray(min(under, points["heel"], points["toe"], key=lambda point: float(point[1])))
