"""The size of the athlete in the picture.

Standing height follows from the segments between shoulder and ankle by the mean proportions of Drillis & Contini 1966
(Winter 2009, figure 4.1): shoulder .818, hip .530, knee .285 and ankle .039 of height above the floor.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from vision.skeleton import INDEX

SHOULDER_TO_ANKLE: Final = 0.818 - 0.039
PROPORTION_U: Final = 0.04
"""Standard uncertainty of a height from these proportions, as a share of it: people differ (common practice, no source)."""
STATED_HEIGHT_U: Final = 0.01
"""Metres, standard: a stated height is good to 2 cm."""


def standing_height(joints: NDArray[np.float64], near: Side) -> float:
    """Standing height of an athlete whose joints (frames, joints, 2) are seen, in their unit and as far from the lens."""
    return chain_height(joints[:, [INDEX[f"{near}_{name}"] for name in ("shoulder", "hip", "knee", "ankle")]])


def chain_height(chain: NDArray[np.float64]) -> float:
    """The same from the four points (frames, 4, 2) of shoulder, hip, knee and ankle."""
    lengths: NDArray[np.float64] = np.linalg.norm(np.diff(chain, axis=1), axis=-1)
    # A segment that turns out of the picture plane looks shorter, never longer.
    return float(np.percentile(lengths, 80, axis=0).sum() / SHOULDER_TO_ANKLE)
