"""The angles that the design names, read off joint points."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from models.movements.movement import Angle, Movement
from vision import angles as goniometry
from vision.limb import bend
from vision.skeleton import INDEX

Array = NDArray[np.float64]

HIP_FORWARD: Final = 0.044
"""How far the hip landmark lies in front of the joint's centre, as a share of the trunk's length: mean over eighteen
drawn clips of nine bodies (standard deviation 0.03 between clips); never checked on real bodies."""
FULL_ARM: Final = 0.9
"""An arm's length is this quantile of what shows of it over the clip: an arm that points out of the picture looks short."""
TAIL: Final = {"ankles-shoulders": "ankle", "knees-shoulders": "knee", "hips-shoulders": "hip"}
"""The joint at the far end of each body line."""


def plain_angles(joints: Array, movement: Movement, near: Side) -> dict[Angle, Array]:
    """All angles (frames,) of the near side as joint points (frames, joints, 2) show them, gravity pointing down."""

    def at(name: str) -> Array:
        return joints[:, INDEX[f"{near}_{name}"]]

    shoulder, elbow, wrist, hip, knee, ankle = (at(n) for n in ("shoulder", "elbow", "wrist", "hip", "knee", "ankle"))
    tail = at(TAIL[movement.line])
    inverted = movement.position.trunk.high < 0
    line: dict[Angle, Array] = (
        {"body": goniometry.tilt(tail, shoulder)}
        if movement.tilt == "body"
        else {"lean": goniometry.lean(tail, shoulder, near, inverted=inverted)}
    )
    return {
        **line,
        "trunk": goniometry.tilt(hip, shoulder),
        "legs": goniometry.tilt(ankle, hip),
        "shoulder": goniometry.shoulder_flexion(hip, shoulder, elbow, near),
        "elbow": goniometry.elbow_flexion(shoulder, elbow, wrist, near),
        "hip": goniometry.hip_flexion(shoulder, hip, knee, near),
        "knee": goniometry.knee_flexion(hip, knee, ankle, near),
    }


def angles_in_picture(joints: Array, present: NDArray[np.bool_], movement: Movement, near: Side) -> dict[Angle, Array]:
    """The same after what is known of bodies: where the hip's centre lies, how long the arms are.

    The near side stands for both: what hides the far one from the lens hides its landmarks' errors too.
    """
    moved = joints.copy()
    shoulder, wrist, hip = (INDEX[f"{near}_{name}"] for name in ("shoulder", "wrist", "hip"))
    moved[:, hip] = hip_joint(joints[:, shoulder], joints[:, hip], near)
    plain = plain_angles(moved, movement, near)
    elbow = bend(moved[:, shoulder], moved[:, wrist], plain["elbow"], present)
    arm = (moved[:, INDEX[f"{near}_{name}"]] for name in ("shoulder", "elbow", "wrist"))
    return {**plain, "elbow": elbow, "reach": reach(*arm)}


def reach(shoulder: Array, elbow: Array, wrist: Array) -> Array:
    """Height (frames,) of the shoulder over the hand in % of the arm's length: -100 in a hang, 100 in a support.

    Points are (frames, 2) or (frames, 3), gravity along the second axis.
    """
    arm = np.linalg.norm(elbow - shoulder, axis=1) + np.linalg.norm(wrist - elbow, axis=1)
    return np.asarray(100 * (wrist - shoulder)[:, 1] / np.quantile(arm, FULL_ARM))


def hip_joint(shoulder: Array, hip: Array, near: Side) -> Array:
    """The hip's joint centre (frames, 2), which lies further back in the body than the landmark."""
    trunk = shoulder - hip
    to_the_front = np.stack([-trunk[:, 1], trunk[:, 0]], axis=1) * (1 if near == "right" else -1)
    return np.asarray(hip - HIP_FORWARD * to_the_front)


def angles_in_depth(world: Array, movement: Movement, near: Side) -> dict[Angle, Array]:
    """The same from points (frames, joints, 3) in metres with gravity along the second axis; joints bend one way only.

    The depth is the landmarker's guess: good enough to count and time, from views in which the picture plane shows no
    angle at all.
    """

    def both(name: str) -> Array:
        return (world[:, INDEX[f"left_{name}"]] + world[:, INDEX[f"right_{name}"]]) / 2

    def flexion(a: str, b: str, c: str) -> Array:
        return goniometry.inner_angle(*(world[:, INDEX[f"{near}_{name}"]] for name in (a, b, c)))

    def tilt(low: Array, high: Array) -> Array:
        line = high - low
        return np.asarray(np.degrees(np.arctan2(-line[:, 1], np.hypot(line[:, 0], line[:, 2]))))

    shoulders, hips = both("shoulder"), both("hip")
    line = tilt(both(TAIL[movement.line]), shoulders)
    return {
        movement.tilt: line if movement.tilt == "body" else 90 - np.abs(line),
        "trunk": tilt(hips, shoulders),
        "legs": tilt(both("ankle"), hips),
        "shoulder": 180 - flexion("hip", "shoulder", "elbow"),
        "elbow": flexion("shoulder", "elbow", "wrist"),
        "hip": flexion("shoulder", "hip", "knee"),
        "knee": flexion("hip", "knee", "ankle"),
        "reach": reach(*(world[:, INDEX[f"{near}_{name}"]] for name in ("shoulder", "elbow", "wrist"))),
    }
