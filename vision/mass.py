"""Centre of mass of a body from its landmarks (segment parameters: de Leva 1996, `models.body`).

Each segment's centre lies on the line between two landmarks, so the whole body's is a fixed weighted mean of the
landmarks. Two of them stand in for de Leva's end points: the middle of the ears for the centre of the head (within
about 2 cm in adults: common practice, no source), the landmark on the first knuckle of the index finger for the third's.
"""

from collections.abc import Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from models.body import Segment, Sex, segments
from vision.skeleton import JOINTS, SIDES

LANDMARK = {"knuckle": "index"}


@cache
def joint_weights(sex: Sex = "mean", names: Sequence[str] = JOINTS) -> NDArray[np.float64]:
    """Share of the body's mass that each joint carries, (J,), summing to 1; for the covariance of the centre too."""
    total = dict.fromkeys(names, 0.0)
    for segment in segments(sex):
        for name, share in _shares(segment).items():
            total[name] += share
    weights = np.array([total[name] for name in names])
    weights /= weights.sum()
    weights.setflags(write=False)
    return np.asarray(weights)


def centre_of_mass(joints: NDArray[np.float64], sex: Sex = "mean") -> NDArray[np.float64]:
    """Centre of mass (..., D) of joints (..., J, D) in the order of `vision.skeleton.JOINTS`.

    A missing joint (NaN) that carries mass gives a missing centre.
    """
    weights = joint_weights(sex)
    carrying = weights > 0
    return np.asarray(np.einsum("...jd,j->...d", joints[..., carrying, :], weights[carrying]))


def _shares(segment: Segment) -> dict[str, float]:
    """Mass that a segment lays on each of its landmarks."""
    if segment.name == "head":
        return {f"{side}_ear": segment.mass / 2 for side in SIDES}
    mass = segment.mass if segment.paired else segment.mass / 2
    shares: dict[str, float] = {}
    for side in SIDES:
        for end, part in ((segment.proximal, 1 - segment.centre), (segment.distal, segment.centre)):
            point = end.removeprefix("mid_")
            shares[f"{side}_{LANDMARK.get(point, point)}"] = mass * part
    return shares
