"""Second pass over a clip: the flow along the body from picture to picture, the background's, and the scene's edges."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.clip import Clip
from vision.edges import edges
from vision.flow import Grey, Step, background_points, step
from vision.looks import LONGER_SIDE

Array = NDArray[np.float64]

BACKGROUND_LASTS: Final = 0.5
"""Seconds for which background points are followed before new ones are chosen."""
EDGES: Final = 4
"""Looks at the scene's edges, spread evenly over the clip; more tell nothing new."""


@dataclass
class Followed:
    """What the pass found, a list by frame."""

    steps: list[Step | None] = field(default_factory=list)
    """Motion since the frame before; None where there is none."""
    edges: list[tuple[int, Array]] = field(default_factory=list)
    """The frame, and the near-upright edges (n, 4) seen in it."""


def follow(
    clip: Clip, body: Array, present: NDArray[np.bool_], progress: Callable[[float], None] | None = None
) -> Followed:
    """Follow texture along a body whose joints (frames, joints, 2) are roughly known, where it is `present` (frames,)."""
    found = Followed()
    before: Grey | None = None
    scenes = set(np.linspace(0, len(clip.times) - 1, EDGES).round())
    points, chosen_at = np.zeros((0, 2), np.float32), -np.inf
    for frame in clip.frames(max_side=LONGER_SIDE):
        i = frame.index
        grey = cv2.cvtColor(frame.image, cv2.COLOR_RGB2GRAY)
        moved = None
        if before is not None and present[i] and present[i - 1]:
            moved = step(before, grey, body[i - 1], points)
            points = moved.followed
        found.steps.append(moved)
        if frame.time - chosen_at >= BACKGROUND_LASTS:
            points, chosen_at = background_points(grey, body[i]), frame.time
        if i in scenes:
            found.edges.append((i, edges(grey, body[i])))
        before = grey
        if progress is not None:
            progress((i + 1) / len(clip.times))
    return found
