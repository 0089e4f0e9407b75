"""Who in the picture is the athlete, and whether somebody else might be."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.pose import Bodies, extent
from vision.resemblance import ALIKE, UNLIKE, Sought, resemblance
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]

OTHER_PERSON: Final = 0.6
"""Another body counts when it is at least this share of the athlete's size."""
APART: Final = 0.3
"""And when its middle is at least this share of the athlete's size away: else it is the athlete, seen twice."""
STANDS: Final = 25.0
"""Degrees from upright within which somebody with their hands down merely stands by."""
IDLER: Final = 0.25
"""Who stands by in a share of looks that is larger by this much than somebody else's is not the athlete."""


def stands_by(points: Array) -> NDArray[np.bool_]:
    """Which bodies (bodies, joints, 2) stand upright with their hands down, as somebody does who watches or helps."""

    def middle(name: str) -> Array:
        return points[:, [INDEX[f"{side}_{name}"] for side in SIDES]].mean(1)

    lines = np.diff([middle(name) for name in ("ankle", "hip", "shoulder")], axis=0)
    upright = (-lines[..., 1] > np.abs(lines[..., 0]) / np.tan(np.radians(STANDS))).all(0)
    return np.asarray(upright & (middle("wrist")[:, 1] > middle("shoulder")[:, 1]))


def pick(bodies: Bodies, width: int) -> int:
    """Which body (of at least one) is the athlete, in the first picture.

    The largest, one in the middle of the picture's `width` before one at the edge. But somebody who stands by while
    another of like size does not is no athlete.
    """
    size = extent(bodies.points)
    aside = np.abs(bodies.points.mean(1)[:, 0] / width - 0.5)
    best = int(np.argmax(size * (1 - aside)))
    training = others(bodies, bodies.points[best]) & ~stands_by(bodies.points)
    if stands_by(bodies.points)[best] and np.any(training):
        return int(np.argmax(np.where(training, size, 0)))
    return best


def nearest(bodies: Bodies, last: Array) -> int:
    """Which body (of at least one) stands nearest to where the athlete last was (joints, 2)."""
    return int(np.argmin(np.linalg.norm(bodies.points - last, axis=-1).mean(-1)))


def instead(bodies: Bodies, followed: int, wanted: Sought) -> int | None:
    """Who looks like doing what is wanted where the one followed does something else; None as a rule."""
    seen = resemblance(bodies.points, wanted)
    return int(np.argmax(seen)) if seen[followed] < UNLIKE and seen.max() > ALIKE else None


def others(bodies: Bodies, athlete: Array) -> NDArray[np.bool_]:
    """Which bodies are somebody else than the athlete (joints, 2), of like size."""
    size = float(extent(athlete))
    apart = np.linalg.norm(bodies.points.mean(1) - athlete.mean(0), axis=-1) > APART * size
    return np.asarray(apart & (extent(bodies.points) > OTHER_PERSON * size))


def beside(bodies: Bodies, athlete: Array) -> NDArray[np.bool_]:
    """Which bodies are somebody else of like size, seen together with the athlete: one body alone may be either."""
    other = others(bodies, athlete)
    return np.asarray(other & ~np.all(other))


def crowded(bodies: Bodies, athlete: Array, wanted: Sought | None = None) -> bool:
    """Whether somebody else of like size may be training too, beside the athlete.

    Where it is known what is `wanted`, who does something else than that does not train: they help, or wait.
    """
    training = beside(bodies, athlete) & ~stands_by(bodies.points)
    if wanted is not None:
        training &= resemblance(bodies.points, wanted) >= UNLIKE
    return bool(np.any(training))


def rival(around: Sequence[Bodies], followed: Sequence[Array]) -> Array | None:
    """Where somebody (joints, 2) is who trains while the one followed stands by; None as a rule.

    Args:
        around: Looks at the whole picture: all bodies in each.
        followed: (joints, 2) of the one followed, in the same looks.
    """
    seen = [bodies.only(np.flatnonzero(others(bodies, body))) for bodies, body in zip(around, followed, strict=True)]
    beside = [each for each in seen if len(each)]
    if not beside:
        return None
    idle = np.mean(stands_by(np.array(followed)))
    idle_beside = np.mean([stands_by(each.points).all() for each in beside])
    if idle <= idle_beside + IDLER:
        return None
    clearest = max(beside, key=lambda each: float(each.visibility[0].mean()))
    return np.asarray(clearest.points[0])
