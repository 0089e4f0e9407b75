"""The body at one moment of a rep, or over a hold."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import minimum_filter1d

from models.document import Posture, Worst
from models.movements.movement import Angle, Movement
from models.quantity import Q, Unmeasured
from vision.body_angles import hip_joint
from vision.filters import resample
from vision.motion import Motion
from vision.skeleton import INDEX, SIDES
from vision.uncertainty import EXTREME_HIP_BIAS, HIP_LINE_BIAS, angle_bias, quantity, stated

SUSTAINED = 0.3
"""Seconds for which the worst hip angle must last."""
EVEN_RATE = 50.0

LINES: tuple[Angle, ...] = ("body", "lean", "trunk", "legs")


def posture(motion: Motion, movement: Movement, start: float, end: float) -> Posture:
    """Medians over the frames from `start` to `end`, or at the frame nearest to their middle if there are none."""
    frames = np.flatnonzero((motion.time >= start) & (motion.time <= end))
    if not len(frames):
        frames = np.array([int(np.argmin(np.abs(motion.time - (start + end) / 2)))])
    names: list[Angle] = [movement.tilt, "trunk", "legs", "shoulder", "elbow", "hip", "knee"]
    if movement.reps is not None and movement.reps.driving == "reach":
        names.append("reach")
    return Posture(**{name: _angle(motion, movement, name, frames) for name in names})


def _angle(motion: Motion, movement: Movement, name: Angle, frames: NDArray[np.intp]) -> Q:
    if motion.view.oblique:
        return Unmeasured(reason=motion.view.refusal)
    if name == "knee" and movement.plane == "frontal":
        return Unmeasured(reason="knees bend toward the lens, which does not show from the front")
    value = float(np.median(motion.angles[name][frames]))
    bias = float(np.median(angle_bias(name, movement.line, motion.angles["elbow"][frames])))
    doubts = bias, *_doubts(motion, name, frames)
    return quantity(value, "%", *doubts) if name == "reach" else stated(value, "deg", *doubts)


def _doubts(motion: Motion, name: Angle, frames: NDArray[np.intp] | NDArray[np.bool_]) -> tuple[float, float, float]:
    """Standard uncertainties of an angle over some frames: its random part, where landmarks sit, level and lens."""
    parts = (motion.sd[name], motion.placing_sd[name], motion.level_sd[name])
    random, placing, level = (float(np.median(part[frames])) for part in parts)
    return random, placing, level


def worst(motion: Motion, start: float, end: float) -> Worst:
    """The hip over a rep: its worst angle that lasts, when, and its largest distance from the shoulder-ankle line."""
    if motion.view.oblique:
        refused = Unmeasured(reason=motion.view.refusal)
        return Worst(hip=refused, hip_at=None, deviation=refused)
    inside = (motion.time >= start) & (motion.time <= end)
    if np.count_nonzero(inside) < 4 or end - start < SUSTAINED:
        missing = Unmeasured(reason=f"the rep is shorter than {SUSTAINED} s or has too few frames")
        return Worst(hip=missing, hip_at=None, deviation=missing)
    time, hip = resample(motion.time[inside], motion.angles["hip"][inside], EVEN_RATE)
    lasting = minimum_filter1d(np.abs(hip), round(SUSTAINED * EVEN_RATE), mode="nearest")
    at = int(np.argmax(lasting))
    angle = stated(float(np.sign(hip[at]) * lasting[at]), "deg", EXTREME_HIP_BIAS, *_doubts(motion, "hip", inside))
    return Worst(hip=angle, hip_at=float(time[at]), deviation=_deviation(motion, inside))


def _deviation(motion: Motion, inside: NDArray[np.bool_]) -> Q:
    """From the joints of the side that is looked at; from the middles of both where the front is.

    The hip lies off the line by a quarter of it times the angle between trunk and legs. A hip's centre that is misplaced
    turns both.
    """
    sides = (motion.near,) if motion.view.plane == "sagittal" else SIDES
    shoulder, hip, ankle = (
        np.mean([motion.joints[inside, INDEX[f"{side}_{name}"]] for side in sides], axis=0)
        for name in ("shoulder", "hip", "ankle")
    )
    if motion.view.plane == "sagittal":
        hip = hip_joint(shoulder, hip, motion.near)
    line = shoulder - ankle
    away = np.abs(line[:, 0] * (hip - ankle)[:, 1] - line[:, 1] * (hip - ankle)[:, 0]) / np.sum(line**2, axis=1)
    between = [2 * HIP_LINE_BIAS, *_doubts(motion, "trunk", inside)[:2], *_doubts(motion, "legs", inside)]
    return quantity(100 * float(away.max()), "%", *(100 * 0.25 * np.radians(between)))
