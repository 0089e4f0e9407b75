"""The body's angles from joint centres in space, by the conventions of the measurement document.

Degrees; 0 anatomical straight, flexion positive; the mean of the sides asked for. Hip and shoulder are taken in the
plane of the body that the movement names, elbow and knee between their two segments. Lines are taken to the floor.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from models.movements import Movement

Array = NDArray[np.float64]
Joints = dict[str, Array]
SIDES = ("left", "right")
LOWER_END = {"ankles-shoulders": "ankle", "knees-shoulders": "knee", "hips-shoulders": "hip"}
UP = np.array([0.0, 0.0, 1.0])


def body_angles(joints: Joints, movement: Movement, arms: Sequence[str] = SIDES, legs: Sequence[str] = SIDES) -> Joints:
    """Every angle (N,) of a posture; `body` or `lean` as the movement has it, `reach` where it drives.

    Args:
        joints: Centres (N, 3) by name ("left_hip"), metres, z up.
        movement: Names the body line and the plane of the body.
        arms: Whose elbow and shoulder count.
        legs: Whose hip, knee and ankle count: where one leg works, that one.
    """
    lower = LOWER_END[movement.line]
    line = middle(joints, "shoulder") - (_mean(joints, lower, legs) if lower != "hip" else middle(joints, lower))
    angles = {"body": _tilt(line)} if movement.tilt == "body" else {"lean": _lean(line, _left(joints))}
    angles["trunk"] = _tilt(middle(joints, "shoulder") - middle(joints, "hip"))
    hips = middle(joints, "hip") if len(legs) > 1 else _mean(joints, "hip", legs)
    angles["legs"] = _tilt(hips - _mean(joints, "ankle", legs))
    turn = _sagittal if movement.plane == "sagittal" else _frontal
    angles["shoulder"] = np.mean([turn(joints, side, "shoulder", "elbow") for side in arms], axis=0)
    angles["hip"] = np.mean([turn(joints, side, "hip", "knee") for side in legs], axis=0)
    angles["elbow"] = np.mean([_bend(joints, side, "shoulder", "elbow", "wrist") for side in arms], axis=0)
    angles["knee"] = np.mean([_bend(joints, side, "hip", "knee", "ankle") for side in legs], axis=0)
    if movement.reps is not None and movement.reps.driving == "reach":
        angles["reach"] = np.mean([_reach(joints, side) for side in arms], axis=0)
    return angles


def middle(joints: Joints, name: str) -> Array:
    """Midpoint (N, 3) of the left and the right of a joint."""
    return _mean(joints, name, SIDES)


def _mean(joints: Joints, name: str, sides: Sequence[str]) -> Array:
    return np.asarray(sum(joints[f"{side}_{name}"] for side in sides) / len(sides))


def _left(joints: Joints) -> Array:
    """Unit vectors (N, 3) to the athlete's left."""
    across = joints["left_hip"] - joints["right_hip"] + joints["left_shoulder"] - joints["right_shoulder"]
    return across / np.linalg.norm(across, axis=1, keepdims=True)


def _tilt(line: Array) -> Array:
    """Angle to the floor, positive when the line's far end is higher."""
    return np.degrees(np.arctan2(line[:, 2], np.hypot(line[:, 0], line[:, 1])))


def _lean(line: Array, left: Array) -> Array:
    """Signed angle of the upward line from the vertical, positive toward the side where the belly faces."""
    inverted = np.where(line[:, 2:] < 0, -1.0, 1.0)
    upward = line * inverted
    toward_belly = np.cross(left, UP * inverted)
    return np.degrees(np.arctan2(np.sum(upward * toward_belly, axis=1), upward[:, 2]))


def _sagittal(joints: Joints, side: str, joint: str, far: str) -> Array:
    """Turn of a limb from the trunk's direction toward the feet, positive to the front, in (-90, 270]."""
    left = _left(joints)
    up = _upward(joints, side, left)
    turn = _turn(joints, side, joint, far, up, np.cross(left, up))
    return np.where(turn <= -90, turn + 360, turn)


def _frontal(joints: Joints, side: str, joint: str, far: str) -> Array:
    """In the frontal plane: of an arm how far it is raised from the trunk, of a thigh the side bend.

    The side bend is positive where the hips lie above the line from shoulders to knees: the thigh turned to the body's
    lower side.
    """
    left = _left(joints)
    up = _upward(joints, side, left)
    turn = _turn(joints, side, joint, far, up, left)
    if joint == "shoulder":
        return np.abs(turn)
    return np.where(left[:, 2] > 0, -turn, turn)


def _upward(joints: Joints, side: str, left: Array) -> Array:
    """Unit vectors (N, 3) from hip to shoulder, square to `left`."""
    hip_to_shoulder = joints[f"{side}_shoulder"] - joints[f"{side}_hip"]
    up = hip_to_shoulder - left * np.sum(hip_to_shoulder * left, axis=1, keepdims=True)
    return up / np.linalg.norm(up, axis=1, keepdims=True)


def _turn(joints: Joints, side: str, joint: str, far: str, up: Array, aside: Array) -> Array:
    limb = joints[f"{side}_{far}"] - joints[f"{side}_{joint}"]
    return np.degrees(np.arctan2(np.sum(limb * aside, axis=1), -np.sum(limb * up, axis=1)))


def _bend(joints: Joints, side: str, *names: str) -> Array:
    first, joint, last = (joints[f"{side}_{name}"] for name in names)
    a, b = joint - first, last - joint
    cosine = np.sum(a * b, axis=1) / (np.linalg.norm(a, axis=1) * np.linalg.norm(b, axis=1))
    return np.degrees(np.arccos(np.clip(cosine, -1, 1)))


def _reach(joints: Joints, side: str) -> Array:
    """Height of the shoulder over the hand, % of the arm's length."""
    shoulder, elbow, wrist = (joints[f"{side}_{name}"] for name in ("shoulder", "elbow", "wrist"))
    arm = np.linalg.norm(elbow - shoulder, axis=1) + np.linalg.norm(wrist - elbow, axis=1)
    return 100 * (shoulder - wrist)[:, 2] / arm
