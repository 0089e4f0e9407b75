"""Which way is down in the picture."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from vision.uncertainty import ASSUMED_LEVEL


@dataclass(frozen=True)
class Level:
    """The phone's roll: positive when the floor seems to rise toward the right."""

    roll: float
    u: float
    source: Literal["sensor", "scene", "assumed"]

    @property
    def down(self) -> NDArray[np.float64]:
        """(2,) unit vector of gravity in the picture."""
        angle = np.radians(self.roll)
        return np.array([np.sin(angle), np.cos(angle)])


def assumed() -> Level:
    """The phone taken as level, for want of anything better."""
    return Level(0.0, ASSUMED_LEVEL, "assumed")
