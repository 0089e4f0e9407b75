"""Joints where the lens would see them if they all lay in the athlete's middle plane.

The near shoulder lies further from that plane than the near hip. To a lens that stands higher than the athlete, or is
turned from their side, what is nearer looks larger, so further from the point that lies straight before the lens: at 3 m
from 1 m up, a level trunk looks tilted by three degrees. Each joint is moved back by its breadth (`vision.breadth`).

A straight arm is straight in space, so its elbow lies between shoulder and wrist in breadth too, and looks straight to any
lens. Only a bent one points aside: an elbow or a knee has its own breadth where it is bent at a right angle, and the more of
that of the line between its neighbours the straighter it is.
"""

from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from vision.angles import inner_angle
from vision.level import Level
from vision.limb import UPPER_ARM
from vision.scale import standing_height
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]

THIGH: Final = 0.245 / (0.245 + 0.246)
"""Share of the leg, hip to ankle: Drillis & Contini 1966 (Winter 2009, figure 4.1)."""
LIMBS: Final = (("shoulder", "elbow", "wrist", UPPER_ARM), ("hip", "knee", "ankle", THIGH))
"""Limbs, and how far along each its middle joint lies."""


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
    outward = np.zeros(joints.shape[:2])
    for name, index in INDEX.items():
        side, _, point = name.partition("_")
        if point:
            outward[:, index] = (1 if side == near else -1) * breadth[point]
    for side in SIDES:
        for *names, share in LIMBS:
            first, middle, last = (INDEX[f"{side}_{name}"] for name in names)
            bent = np.sin(np.radians(inner_angle(*(joints[:, joint] for joint in (first, middle, last)))))
            line = (1 - share) * outward[:, first] + share * outward[:, last]
            outward[:, middle] = line + bent * (outward[:, middle] - line)
    return np.asarray(rays * (1 - outward * height)[..., None] * level.focal + level.centre)
