"""How far the lens is turned about the vertical from square to the plane in which the athlete moves.

Three things tell it, each with its own uncertainty; their likelihoods are multiplied over all angles from -90 to 90:

- **Breadths.** The far shoulder, elbow, wrist and hip lie a known breadth b straight behind the near ones. Turned by too
  little or too much, the far one lies ahead of that by b times the sine of the error.
- **Depth**, the landmarker's own guess at where the lines across the body point.
- **The scene.** Many train along or straight off a wall, a mat or a rack: then yaw is that of the lens against its edges.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from models.document import Side
from vision.breadth import BREADTH
from vision.propagate import Estimate
from vision.scale import standing_height
from vision.skeleton import INDEX, OTHER_SIDE

Array = NDArray[np.float64]

PAIRS: Final = ("shoulder", "elbow", "wrist", "hip")
"""Joints whose far one is told well enough."""
FAR_SD: Final = 0.025
"""Share of height, standard: how far off a joint that the body hides is taken to be."""
ALIKE: Final = 0.5
"""Correlation between the errors of the pairs."""
SHIFT_U: Final = 0.25
"""Share, standard: the landmarker draws hidden joints too near to those before them, so that shifts come out too small."""
DEPTH_U: Final = 12.0
DEPTH_SHARE: Final = 0.7
"""Degrees, standard, of the guess at depth; how often it is a guess and not a blunder."""
ALIGNED_U: Final = 5.0
ALIGNED_SHARE: Final = 0.6
"""Degrees, standard, to which people keep to the lines of a room; how many do."""

LEAST_AWAY: Final = 0.02
"""Points are not looked at from nearer than this share of their distance along the way that the lens points."""
FRAMES: Final = 40
"""Frames that tell the breadths; more tell nothing new."""

_SIGHT: Final = np.arange(-85.0, 85.01, 0.5)
_COARSE: Final = np.arange(-85.0, 85.01, 5.0)


def yaw_of(rays: Array, near: Side | None, depth: float, walls: Estimate | None) -> tuple[Estimate, float]:
    """Yaw of the line of sight in degrees; and the bearing of the athlete from the way that the lens points, degrees.

    Args:
        rays: Rays (frames, joints, 2) of the joints through a level lens, right and down per unit of distance.
        near: The side toward the lens; None where the athlete does not show a side, so that breadths tell nothing.
        depth: Yaw of the line of sight by the landmarker's depth, degrees.
        walls: Yaw of the lens against the edges of the scene; None where there are none.
    """
    bearing = float(np.degrees(np.arctan(np.median(rays[..., 0]))))
    log = _mostly(_SIGHT, Estimate(depth, DEPTH_U), DEPTH_SHARE)
    if near is not None:
        log += _breadths(rays, near, bearing)
    if walls is not None:
        log += _mostly(_SIGHT + bearing, Estimate(walls.value, float(np.hypot(walls.u, ALIGNED_U))), ALIGNED_SHARE)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    # The likeliest, not the mean: the share of blunders lies evenly over all angles and would pull every yaw to 0.
    best = float(_SIGHT[np.argmax(weight)])
    return Estimate(best, float(np.sqrt(weight @ (_SIGHT - best) ** 2))), bearing


def _mostly(angles: Array, known: Estimate, share: float) -> Array:
    """Log likelihood of angles: a bell curve for a share of cases, anything at all for the others."""
    bell = np.exp(-0.5 * ((angles - known.value) / known.u) ** 2) / (known.u * np.sqrt(2 * np.pi))
    return np.log(share * bell + (1 - share) / 180)


def _breadths(rays: Array, near: Side, bearing: float) -> Array:
    """Log likelihood of each yaw of the line of sight, by how far the far joints then lie from straight behind the near."""
    off, sd = _offsets(rays, near, bearing)
    weight = 1 / sd**2
    mean = weight @ off / weight.sum()
    variance = (1 - ALIKE) / weight.sum() + ALIKE * (weight @ sd / weight.sum()) ** 2
    disagreement = weight @ (off - mean) ** 2 / (len(PAIRS) - 1)
    spread = np.hypot(np.sqrt(variance * np.maximum(1.0, disagreement)), SHIFT_U * np.sin(np.radians(_SIGHT)))
    return np.asarray(-0.5 * (mean / spread) ** 2 - np.log(spread))


def _offsets(rays: Array, near: Side, bearing: float) -> tuple[Array, Array]:
    """How far (pairs, angles) far joints lie ahead of the near ones, shares of their breadths; and its sd (pairs,).

    Seen square to the athlete's plane, points one breadth b behind it look 1 / (1 + b height) as large, where height is
    the standing height in that plane, per distance of it.
    """
    far = OTHER_SIDE[near]
    some = rays[np.linspace(0, len(rays) - 1, min(FRAMES, len(rays))).round().astype(int)]
    height = np.array([standing_height(_square(some, angle + bearing), near) for angle in _COARSE])
    height = np.interp(_SIGHT, _COARSE, height)
    breadth = 2 * np.array([BREADTH[name] for name in PAIRS])
    before, behind = (
        np.median(rays[:, [INDEX[f"{side}_{name}"] for name in PAIRS]], axis=0)[:, None] for side in (near, far)
    )
    x1, x2 = (_square(points, _SIGHT + bearing)[..., 0] for points in (before, behind))
    size = breadth[:, None] * height
    return (x2 * (1 + size) - x1) / size, FAR_SD / breadth


def _square(rays: Array, yaw: ArrayLike) -> Array:
    """Rays (..., 2) of a lens as the same lens turned by `yaw` degrees sees them."""
    cosine, sine = np.cos(np.radians(yaw)), np.sin(np.radians(yaw))
    away = np.maximum(cosine + sine * rays[..., 0], LEAST_AWAY)
    return np.stack([cosine * rays[..., 0] - sine, rays[..., 1] + 0 * away], axis=-1) / away[..., None]
