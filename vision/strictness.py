"""What tells a strict stroke from a kipped one: how far the hips travel and how much they bend while it lasts."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.quantity import Q, Unmeasured
from vision.breadth import breadth_in
from vision.motion import Motion
from vision.plane import eye_of
from vision.scale import PROPORTION_U
from vision.sight import rays_of
from vision.skeleton import INDEX
from vision.uncertainty import EXTREME_HIP_BIAS, quantity

SWING_U: Final = 1.3
"""% of height, standard: landmarks of hip and hand that wander against their joints as the body turns."""
EDGE: Final = 2.0
"""Percent of the frames at either end of the range that are left out: a landmark that jumps once is no kip."""


def swing(motion: Motion, start: float, end: float) -> Q:
    """Horizontal travel of the hips against the hands from `start` to `end` (s), in % of body height."""
    inside = (motion.time >= start) & (motion.time <= end)
    refused = _refused(motion, inside)
    if refused:
        return refused
    eye = eye_of(motion)
    hip, wrist = (
        eye.place(rays_of(motion, name)[inside], breadth_in(motion.view.plane, name)) for name in ("hip", "wrist")
    )
    travel = 100 * float(np.ptp(hip[:, 0] - wrist[:, 0]))
    sd = 100 * float(np.median(motion.joints_sd[inside, INDEX[f"{motion.near}_hip"]])) / motion.height
    return quantity(travel, "% of height", sd, SWING_U, PROPORTION_U * travel)


def hip_range(motion: Motion, start: float, end: float) -> Q:
    """How far the hip angle changes from `start` to `end` (s), degrees: from its least to its greatest."""
    inside = (motion.time >= start) & (motion.time <= end)
    refused = _refused(motion, inside)
    if refused:
        return refused
    low, high = np.percentile(motion.angles["hip"][inside], (EDGE, 100 - EDGE))
    sd = float(np.median(motion.sd["hip"][inside]))
    return quantity(float(high - low), "deg", np.sqrt(2) * sd, EXTREME_HIP_BIAS)


def _refused(motion: Motion, inside: NDArray[np.bool_]) -> Unmeasured | None:
    if motion.view.oblique:
        return Unmeasured(reason=motion.view.refusal)
    if np.count_nonzero(inside) < 2:
        return Unmeasured(reason="fewer than two frames in this stroke")
    return None
