"""The athlete's joints placed by a larger landmark model, where the body has been found.

The smaller model finds and follows people as well as the larger one, in half the time, and is surer of what it sees. The
larger one places the joints better once it is shown where to look.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import cycle
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from models.pose import larger_bundle
from vision.ahead import side_by_side
from vision.clip import Clip
from vision.looks import JUMP, distance, looked_at
from vision.pose import Bodies, Landmarker, Picture, extent, join, landmarker
from vision.shown import look_alone, look_mirrored, swapped

Work = tuple[int, Picture, Landmarker]
"""A frame, its picture, and who looks at it."""


@dataclass(frozen=True)
class Placed:
    """The athlete in one frame."""

    body: Bodies
    disagreement: NDArray[np.float64]
    """(joints,) pixels between where the two models see each joint; where they differ, both are in doubt."""


def place(
    clip: Clip, weights: Path, athlete: Mapping[int, Bodies], progress: Callable[[float], None] | None = None
) -> dict[int, Placed]:
    """The athlete's body by frame, with the joints where the larger landmark model sees them.

    How visible they are and how deep they lie stays as it was. A body stays as it was altogether where that model sees none
    there; and so do all, where `weights` hold no such model, which then says nothing of their doubt.

    Args:
        clip: The clip.
        weights: Landmark weights.
        athlete: One body by frame, in pixels of the pictures looked at.
        progress: Called with how much of the clip is done, 0 to 1.
    """
    larger = larger_bundle(weights) if athlete else None
    if larger is None:
        return {frame: Placed(body, np.zeros(body.points.shape[1])) for frame, body in athlete.items()}
    # They look in turns, one in the mirror: each errs differently.
    with landmarker(larger, tracking=True) as direct, landmarker(larger, tracking=True) as mirrored:
        eyes = cycle((direct, partial(look_mirrored, find=mirrored)))
        work = ((frame.index, frame.image, next(eyes)) for frame in looked_at(clip) if frame.index in athlete)
        placed = dict[int, Placed]()
        for frame, each in side_by_side(partial(_placed, athlete), work):
            placed[frame] = each
            if progress is not None:
                progress((frame + 1) / len(clip.times))
    return placed


def _placed(athlete: Mapping[int, Bodies], work: Work) -> tuple[int, Placed]:
    """The frame, and the body in it."""
    frame, image, find = work
    body = athlete[frame]
    seen = look_alone(image, body.points[0], find)
    either = join(seen, swapped(seen))
    off = distance(either.points, body.points[0])
    if not (off < JUMP).any():
        return frame, Placed(body, np.full(body.points.shape[1], JUMP * extent(body.points[0])))
    points = either.points[np.argmin(off)]
    return frame, Placed(replace(body, points=points[None]), np.linalg.norm(points - body.points[0], axis=-1))
