"""Angles of a body that moves sideways, in its frontal plane, as the lens sees it from the front or the back.

Both sides show, so that lines run between the middles of left and right and angles are the mean of both sides. Elbow and
knee have no sign here; the shoulder's angle is how far the arm is raised from beside the trunk; the hip's is the side
bend, positive where the hips lie above the line from shoulders to knees.
"""

import numpy as np
from numpy.typing import NDArray

from models.movements.movement import Angle, Movement
from vision import angles as goniometry
from vision.body_angles import TAIL, reach
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]


def angles_in_frontal_plane(joints: Array, movement: Movement) -> dict[Angle, Array]:
    """All angles (frames,) of joint points (frames, joints, 2), gravity pointing down the picture."""

    def at(side: str, name: str) -> Array:
        return joints[:, INDEX[f"{side}_{name}"]]

    def both(name: str) -> Array:
        return (at("left", name) + at("right", name)) / 2

    def bend(*names: str) -> Array:
        return _mean([goniometry.inner_angle(*(at(side, name) for name in names)) for side in SIDES])

    trunk = both("hip") - both("shoulder")
    raised = [
        goniometry.inner_angle(at(side, "shoulder") - trunk, at(side, "shoulder"), at(side, "elbow")) for side in SIDES
    ]
    line = goniometry.tilt(both(TAIL[movement.line]), both("shoulder"))
    reaches = _mean([reach(*(at(side, name) for name in ("shoulder", "elbow", "wrist"))) for side in SIDES])
    return {
        movement.tilt: line if movement.tilt == "body" else 90 - np.abs(line),
        "trunk": goniometry.tilt(both("hip"), both("shoulder")),
        "legs": goniometry.tilt(both("ankle"), both("hip")),
        "shoulder": _mean(raised),
        "elbow": bend("shoulder", "elbow", "wrist"),
        "hip": _side_bend(both("shoulder"), both("hip"), both("knee")),
        "knee": bend("hip", "knee", "ankle"),
        "reach": reaches,
    }


def _mean(values: list[Array]) -> Array:
    return np.asarray(np.mean(values, axis=0))


def _side_bend(shoulder: Array, hip: Array, knee: Array) -> Array:
    """Turn of the thighs from the trunk prolonged, positive toward the floor."""
    trunk, thigh = hip - shoulder, knee - hip
    clockwise = np.degrees(
        np.arctan2(trunk[:, 0] * thigh[:, 1] - trunk[:, 1] * thigh[:, 0], np.sum(trunk * thigh, axis=1))
    )
    # Down the picture is clockwise of a body whose feet are to the right of its head.
    return np.asarray(clockwise * np.sign(trunk[:, 0]))
