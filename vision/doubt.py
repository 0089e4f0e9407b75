"""What the doubt about level, lens and yaw does to each angle (JCGM 100:2008, 5.1.3, note 2).

Each independent doubt is carried by reading the angles anew, one standard uncertainty to either side. The doubt is the
same in all frames of a clip, so it shifts angles and hardly changes differences between them.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from models.movements.movement import Angle
from vision.level import Level

Array = NDArray[np.float64]
Reading = Callable[[Level], dict[Angle, Array]]


def level_sd(read: Reading, level: Level) -> dict[Angle, Array]:
    """Standard uncertainties (frames,) of all angles that `read` gives, in their unit."""
    squared = {name: np.zeros_like(value) for name, value in read(level).items()}
    for more, less in level.doubts():
        high, low = read(more), read(less)
        for name in squared:
            squared[name] += _half(high[name] - low[name]) ** 2
    return {name: np.sqrt(value) for name, value in squared.items()}


def _half(turn: Array) -> Array:
    """Half of a difference of degrees; across the seam it is the short way round."""
    return np.asarray(((turn + 180) % 360 - 180) / 2)
