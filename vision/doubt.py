"""What the doubt about level, lens, yaw and breadths does to each angle (JCGM 100:2008, 5.1.3, note 2).

Each independent doubt is carried by reading the angles anew, one standard uncertainty to either side. The doubt is the
same in all frames of a clip, so it shifts angles and hardly changes differences between them.
"""

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.body.figure import seam
from models.movements.movement import Angle
from vision.breadth import BREADTH, breadth_u
from vision.level import Level

Array = NDArray[np.float64]
Reading = Callable[[Level, Mapping[str, float]], dict[Angle, Array]]

READ: Final = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")
"""Joints that angles are read from."""


def level_sd(read: Reading, level: Level) -> dict[Angle, Array]:
    """Standard uncertainties (frames,) of all angles that `read` gives for a level and breadths of joints, in their unit."""
    pairs = [(read(more, BREADTH), read(less, BREADTH)) for more, less in level.doubts()]
    for name in READ:
        high, low = ({**BREADTH, name: BREADTH[name] + sign * breadth_u(name)} for sign in (1, -1))
        pairs.append((read(level, high), read(level, low)))
    names = pairs[0][0].keys()
    return {
        name: np.sqrt(np.sum([(seam(more[name] - less[name]) / 2) ** 2 for more, less in pairs], axis=0))
        for name in names
    }
