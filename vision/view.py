"""From which side the lens sees the athlete.

Yaw is how far the view is turned from the athlete's side about the vertical: 0 from the side, 90 from the front or the
back. It is read from the lines across the body, shoulder to shoulder and hip to hip, in the landmarker's own guess at
depth.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from vision.level import Level
from vision.skeleton import INDEX

Array = NDArray[np.float64]

YAW_U: Final = 6.0
"""Degrees, standard: the depth of the lines across the body is the landmarker's guess."""
OBLIQUE: Final = 35.0
"""Degrees beyond which a view from the side no longer shows angles in the picture plane."""


@dataclass(frozen=True)
class View:
    """How the lens sees the athlete."""

    near: Side
    """The side toward the lens."""
    yaw: float
    """Degrees; positive when the athlete's left side lies further right in the picture than from straight abeam."""
    u: float

    @property
    def oblique(self) -> bool:
        """Whether joint angles cannot be read in the picture plane."""
        return abs(self.yaw) > OBLIQUE

    @property
    def refusal(self) -> str:
        """Why a turned view shows no angle."""
        return f"the view is turned {abs(self.yaw):.0f} degrees from the athlete's side; film from the side"


def view_of(world: Array, level: Level) -> View:
    """The view over a clip, from landmarks (frames, joints, 3) in metres, x right, y down, z away."""
    turned = level.turned(world)
    across = np.mean(
        [turned[:, INDEX[f"left_{n}"]] - turned[:, INDEX[f"right_{n}"]] for n in ("shoulder", "hip")], axis=0
    )
    sideways, away = np.median(across[:, 0]), np.median(across[:, 2])
    near: Side = "left" if away < 0 else "right"
    return View(near, float(np.degrees(np.arctan2(sideways, abs(away)))), YAW_U)
