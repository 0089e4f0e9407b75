"""Second pass over a clip: the flow along the body from picture to picture, the background's, and the scene's edges."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from itertools import pairwise
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.ahead import side_by_side
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


@dataclass(frozen=True)
class _Stretch:
    """Pictures through which the same background points are followed; the last is the first of the next stretch."""

    first: int
    greys: list[Grey]


def follow(
    clip: Clip, body: Array, present: NDArray[np.bool_], progress: Callable[[float], None] | None = None
) -> Followed:
    """Follow texture along a body whose joints (frames, joints, 2) are roughly known, where it is `present` (frames,)."""
    found = Followed(steps=[None])
    work = partial(_steps, body=body, present=present)
    for steps in side_by_side(work, _stretches(clip, body, found.edges)):
        found.steps.extend(steps)
        if progress is not None:
            progress(len(found.steps) / len(clip.times))
    return found


def _stretches(clip: Clip, body: Array, looks: list[tuple[int, Array]]) -> Iterator[_Stretch]:
    """The clip in stretches of BACKGROUND_LASTS; the edges of the scene are added to `looks` in passing."""
    scenes = set(np.linspace(0, len(clip.times) - 1, EDGES).round())
    first, since, greys = 0, 0.0, list[Grey]()
    for frame in clip.frames(max_side=LONGER_SIDE):
        grey = cv2.cvtColor(frame.image, cv2.COLOR_RGB2GRAY)
        greys.append(grey)
        if frame.index in scenes:
            looks.append((frame.index, edges(grey, body[frame.index])))
        if frame.time - since >= BACKGROUND_LASTS:
            yield _Stretch(first, greys)
            first, since, greys = frame.index, frame.time, [grey]
    if len(greys) > 1:
        yield _Stretch(first, greys)


def _steps(stretch: _Stretch, body: Array, present: NDArray[np.bool_]) -> list[Step | None]:
    """Motion into every picture of a stretch but its first."""
    steps: list[Step | None] = []
    points = background_points(stretch.greys[0], body[stretch.first])
    for i, (before, after) in enumerate(pairwise(stretch.greys), start=stretch.first):
        moved = step(before, after, body[i], points) if present[i] and present[i + 1] else None
        points = points if moved is None else moved.followed
        steps.append(moved)
    return steps
