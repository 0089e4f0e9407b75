"""Joints where the lens would see them if they all lay in the athlete's middle plane.

The near shoulder lies further from that plane than the near hip. To a lens that stands higher than the athlete, or is
turned from their side, what is nearer looks larger, so further from the point that lies straight before the lens: at 3 m
from 1 m up, a level trunk looks tilted by three degrees. Each joint is moved back by its breadth (`vision.breadth`).
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from vision.level import Level
from vision.scale import standing_height
from vision.skeleton import INDEX

Array = NDArray[np.float64]


def flattened(
    joints: Array, present: NDArray[np.bool_], level: Level, near: Side, breadth: Mapping[str, float]
) -> Array:
    """Points (frames, joints, 2), pixels of the level and square lens, in the middle plane.

    A joint that lies b standing heights before a plane in which the standing height is h, per distance of it, looks
    1 / (1 - b h) as far from straight ahead as it would in the plane.

    Args:
        joints: Points (frames, joints, 2) that `level.rectified` gives.
        present: (frames,) frames that tell the athlete's height.
        level: The lens.
        near: The side toward it.
        breadth: Distances of joints from the middle plane, by their names without the side, shares of standing height.
    """
    rays = (joints - level.centre) / level.focal
    height = standing_height(rays[present], near)
    share = np.ones(len(INDEX))
    for name, index in INDEX.items():
        side, _, point = name.partition("_")
        if point:
            share[index] -= (1 if side == near else -1) * breadth[point] * height
    return np.asarray(rays * share[:, None] * level.focal + level.centre)
