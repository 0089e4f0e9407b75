"""Who in the picture is the athlete, and whether somebody else might be."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.pose import Bodies, extent
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]

OTHER_PERSON: Final = 0.6
"""Another body counts when it is at least this share of the athlete's size."""
APART: Final = 0.3
"""And when its middle is at least this share of the athlete's size away: else it is the athlete, seen twice."""
STANDS: Final = 25.0
"""Degrees from upright within which somebody with their hands down merely stands by."""


def stands_by(points: Array) -> NDArray[np.bool_]:
    """Which bodies (bodies, joints, 2) stand upright with their hands down, as somebody does who watches or helps."""

    def middle(name: str) -> Array:
        return points[:, [INDEX[f"{side}_{name}"] for side in SIDES]].mean(1)

    lines = np.diff([middle(name) for name in ("ankle", "hip", "shoulder")], axis=0)
    upright = (-lines[..., 1] > np.abs(lines[..., 0]) / np.tan(np.radians(STANDS))).all(0)
    return np.asarray(upright & (middle("wrist")[:, 1] > middle("shoulder")[:, 1]))


def pick(bodies: Bodies, last: Array | None, width: int) -> int:
    """Which body is the athlete.

    The one nearest to where the athlete last was; at first the largest, one in the middle before one at the edge. But
    somebody who stands by while another of like size does not is no athlete.

    Args:
        bodies: At least one.
        last: (joints, 2) where the athlete last was, if known.
        width: Of the picture.
    """
    size = extent(bodies.points)
    if last is None:
        aside = np.abs(bodies.points.mean(1)[:, 0] / width - 0.5)
        best = int(np.argmax(size * (1 - aside)))
    else:
        best = int(np.argmin(np.linalg.norm(bodies.points - last, axis=-1).mean(-1)))
    others = _others(bodies, best)
    idle = stands_by(bodies.points)
    if idle[best] and np.any(others & ~idle):
        return int(np.argmax(np.where(others & ~idle, size, 0)))
    return best


def crowded(bodies: Bodies, athlete: int) -> bool:
    """Whether somebody else of like size may be training too."""
    return bool(np.any(_others(bodies, athlete) & ~stands_by(bodies.points)))


def _others(bodies: Bodies, athlete: int) -> NDArray[np.bool_]:
    """Which bodies are somebody else, of like size."""
    size = extent(bodies.points)
    apart = np.linalg.norm(bodies.points.mean(1) - bodies.points[athlete].mean(0), axis=-1) > APART * size[athlete]
    return np.asarray(apart & (size > OTHER_PERSON * size[athlete]))
