"""The body's angles from joint centres in space, by the conventions of the measurement document.

Degrees; 0 anatomical straight, flexion positive; left and right averaged. Hip and shoulder are taken in the athlete's
sagittal plane, elbow and knee between their two segments. Lines are taken to the floor.
"""

import numpy as np
from numpy.typing import NDArray

from models.movements import Movement

Array = NDArray[np.float64]
Joints = dict[str, Array]
SIDES = ("left", "right")
LOWER_END = {"ankles-shoulders": "ankle", "knees-shoulders": "knee", "hips-shoulders": "hip"}
UP = np.array([0.0, 0.0, 1.0])


def body_angles(joints: Joints, movement: Movement) -> dict[str, Array]:
    """Every angle (N,) of a posture; `body` or `lean` as the movement has it.

    Args:
        joints: Centres (N, 3) by name ("left_hip"), metres, z up.
        movement: Names the body line.
    """
    left = _left(joints)
    line = _mean(joints, "shoulder") - _mean(joints, LOWER_END[movement.line])
    angles = {"body": _tilt(line)} if movement.tilt == "body" else {"lean": _lean(line, left)}
    angles["trunk"] = _tilt(_mean(joints, "shoulder") - _mean(joints, "hip"))
    angles["legs"] = _tilt(_mean(joints, "hip") - _mean(joints, "ankle"))
    for name, points in (("shoulder", ("shoulder", "elbow")), ("hip", ("hip", "knee"))):
        angles[name] = np.mean([_sagittal(joints, side, left, *points) for side in SIDES], axis=0)
    for name, chain in (("elbow", ("shoulder", "elbow", "wrist")), ("knee", ("hip", "knee", "ankle"))):
        angles[name] = np.mean([_bend(*(joints[f"{side}_{p}"] for p in chain)) for side in SIDES], axis=0)
    return angles


def _mean(joints: Joints, name: str) -> Array:
    return (joints[f"left_{name}"] + joints[f"right_{name}"]) / 2


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


def _sagittal(joints: Joints, side: str, left: Array, joint: str, far: str) -> Array:
    """Turn of a limb from the trunk's direction toward the feet, positive to the front, in (-90, 270]."""
    hip_to_shoulder = joints[f"{side}_shoulder"] - joints[f"{side}_hip"]
    up = hip_to_shoulder - left * np.sum(hip_to_shoulder * left, axis=1, keepdims=True)
    up = up / np.linalg.norm(up, axis=1, keepdims=True)
    front = np.cross(left, up)
    limb = joints[f"{side}_{far}"] - joints[f"{side}_{joint}"]
    turn = np.degrees(np.arctan2(np.sum(limb * front, axis=1), -np.sum(limb * up, axis=1)))
    return np.where(turn <= -90, turn + 360, turn)


def _bend(first: Array, joint: Array, last: Array) -> Array:
    a, b = joint - first, last - joint
    cosine = np.sum(a * b, axis=1) / (np.linalg.norm(a, axis=1) * np.linalg.norm(b, axis=1))
    return np.degrees(np.arccos(np.clip(cosine, -1, 1)))
