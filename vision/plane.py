"""Where the near side's joints lie in the athlete's middle plane, in shares of standing height.

A lens near the athlete sees what is nearer larger and further from the level of the lens. A hand on a bar is nearer to
it than the chin, by half the width of the grip: a lens near the floor would show the chin too low against the bar by a
hand's breadth. So each ray is followed as far as its point is away: `Z + d`, where Z is the distance of the middle
plane and d the point's own distance from it, negative on the near side. Both are shares of height: Z follows from how
tall the athlete appears, d from the proportions below.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from vision.body_angles import hip_joint
from vision.breadth import breadth_in
from vision.motion import Motion
from vision.scale import chain_height
from vision.skeleton import INDEX

Array = NDArray[np.float64]

CHAIN: Final = ("shoulder", "hip", "knee", "ankle")
"""Joints between which lie the segments that tell the athlete's height."""
ROUNDS: Final = 4


@dataclass(frozen=True)
class Eye:
    """How the lens sees the athlete's middle plane."""

    near: Side
    distance: float
    """From the lens to the middle plane, in standing heights."""

    def place(self, ray: Array, breadth: Array | float) -> Array:
        """Points (..., 2) of the middle plane from rays (..., 2): toward where an upright belly faces, and up."""
        ahead = 1.0 if self.near == "right" else -1.0
        return np.asarray(ray * np.array([ahead, -1.0]) * np.asarray(self.distance - breadth)[..., None])


def eye_of(motion: Motion) -> Eye:
    """The eye for which the near side's segments are as long as a body of height 1 has them."""
    breadth = np.array([breadth_in(motion.view.plane, name) for name in CHAIN])[:, None]
    rays = motion.rays[motion.present][:, [INDEX[f"{motion.near}_{name}"] for name in CHAIN]]
    rays[:, 1] = hip_joint(rays[:, 0], rays[:, 1], motion.near)
    distance = 1 / chain_height(rays)
    for _ in range(ROUNDS):  # nearly proportional, so that it settles at once
        distance /= chain_height(rays * (distance - breadth))
    return Eye(motion.near, distance)


def front(toward_head: Array) -> Array:
    """Unit vector (2,) to the front of a segment, whose direction from its lower to its upper end is given."""
    x, up = toward_head / np.linalg.norm(toward_head)
    return np.array([up, -x])


Points = Mapping[str, Array]
"""Joints of the near side by their names without the side, (2,) each, in the middle plane."""
