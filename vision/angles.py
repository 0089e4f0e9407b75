"""Angles of a body seen in the picture: tilt and lean against the floor, goniometric flexion of the joints.

Points are arrays (..., 2) in pixels, x right, y down; a missing point (NaN) gives a missing angle. All angles are
degrees.

A camera that looks at the athlete's right side sees the body's front clockwise of the direction from feet to head,
one that looks at the left side sees it counterclockwise, and this stays true when the body is level or upside down.
So `near`, the athlete's side toward the camera, is all that is needed to tell bending forwards from bending backwards.
`down` is the unit vector of gravity in the picture: the floor is level in the world, not in the picture.

Zero and signs follow goniometry (Norkin & White, Measurement of Joint Motion): 0 is anatomical straight, flexion
positive, hyperextension negative. Joint angles lie in (-90, 270], where no joint of a
person comes near the seam.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from models.document import Side

Degrees = NDArray[np.float64]
Points = NDArray[np.float64]

PICTURE_DOWN = (0.0, 1.0)


def tilt(low: Points, high: Points, down: ArrayLike = PICTURE_DOWN) -> Degrees:
    """Angle of the line low-high to the floor, folded to [-90, 90]; positive when `high` lies higher."""
    line = high - low
    down = np.asarray(down, dtype=float)
    return np.degrees(np.arctan2(-_dot(line, down), np.abs(_cross(line, down))))


def lean(tail: Points, head: Points, near: Side, down: ArrayLike = PICTURE_DOWN, *, inverted: bool = False) -> Degrees:
    """Signed angle of the line from the vertical, in (-180, 180], positive when its upper end lies toward the belly.

    `tail` is the end nearer the feet and `head` the end nearer the head, whichever is up; `inverted` says that the
    movement is done upside down, so that the tail is the upper end. Standing, it is positive with the shoulders ahead
    of the ankles; in a handstand, with the ankles over-balanced toward the belly side.
    """
    line = tail - head if inverted else head - tail
    turn = _clockwise(-np.asarray(down, dtype=float), line)
    return _seam(turn * (-_hand(near) if inverted else _hand(near)), -180.0)


def hip_flexion(shoulder: Points, hip: Points, knee: Points, near: Side) -> Degrees:
    """Turn of the thigh from the trunk prolonged; sagging (hyperextension) is negative."""
    return _seam(-_hand(near) * _clockwise(hip - shoulder, knee - hip))


def knee_flexion(hip: Points, knee: Points, ankle: Points, near: Side) -> Degrees:
    """Turn of the shank from the thigh prolonged; heel toward the buttock is positive."""
    return _seam(_hand(near) * _clockwise(knee - hip, ankle - knee))


def elbow_flexion(shoulder: Points, elbow: Points, wrist: Points, near: Side) -> Degrees:
    """Turn of the forearm from the upper arm prolonged, as it shows from the side."""
    return _seam(-_hand(near) * _clockwise(elbow - shoulder, wrist - elbow))


def shoulder_flexion(hip: Points, shoulder: Points, elbow: Points, near: Side) -> Degrees:
    """Turn of the upper arm from the trunk: 0 beside it, 90 straight ahead of the belly, 180 overhead."""
    return _seam(-_hand(near) * _clockwise(hip - shoulder, elbow - shoulder))


def inner_angle(proximal: Points, joint: Points, distal: Points) -> Degrees:
    """180 minus the angle between the two segments, in [0, 180]: flexion without a sign. Points may be 2-D or 3-D."""
    a, b = joint - proximal, distal - joint
    cosine = _dot(a, b) / (np.linalg.norm(a, axis=-1) * np.linalg.norm(b, axis=-1))
    return np.asarray(np.degrees(np.arccos(np.clip(cosine, -1, 1))))


def _hand(near: Side) -> int:
    """+1 where the body's front lies clockwise of its direction from feet to head, as the viewer sees it."""
    return 1 if near == "right" else -1


def _clockwise(start: Points, end: Points) -> Degrees:
    """Turn from one direction to another, positive clockwise as the viewer sees it."""
    return np.degrees(np.arctan2(_cross(start, end), _dot(start, end)))


def _seam(angle: Degrees, low: float = -90.0) -> Degrees:
    """The same angle in (low, low + 360]."""
    high = low + 360
    return np.asarray(high - np.mod(high - angle, 360))


def _dot(a: Points, b: Points) -> NDArray[np.float64]:
    return np.asarray(np.sum(a * b, axis=-1))


def _cross(a: Points, b: Points) -> NDArray[np.float64]:
    """Positive when b lies clockwise of a (y points down)."""
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
