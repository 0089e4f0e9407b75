"""How each limb and the background move from one picture to the next, at sub-pixel scale (pyramidal Lucas-Kanade).

Points are laid along each segment and followed with a forward-backward check (Kalal, Mikolajczyk & Matas 2010). The
displacement along a segment is taken as linear from end to end (it turns and it foreshortens), which is fitted robustly
and read off at the two joints. The background's motion is a similarity by RANSAC: the motion of the phone.
"""

from dataclasses import dataclass
from typing import Any, Final

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.skeleton import INDEX, JOINTS, SEGMENTS, SIDES

Array = NDArray[np.float64]
Grey = NDArray[Any]

WINDOW: Final = 0.03
"""Side of the Lucas-Kanade window, as a share of the body's extent: about a forearm's width."""
WINDOWS: Final = (7, 13)
"""Its smallest and largest side, pixels."""
FORWARD_BACKWARD: Final = 0.4
"""A point whose way there and back misses its start by more pixels than this is dropped."""
FLOOR: Final = 0.04
"""Pixels per frame: no displacement is trusted further than this, however well the points agree."""
FEWEST: Final = 6
"""A segment with fewer followed points has no displacement of its own."""

_ALONG: Final = np.linspace(0.06, 0.94, 9)
_ACROSS: Final = (-1.0, 0.0, 1.0)
_T: Final = np.repeat(_ALONG, len(_ACROSS))
_S: Final = np.tile(_ACROSS, len(_ALONG))
_ENDS: Final = np.array(
    [(INDEX[f"{side}_{a}"], INDEX[f"{side}_{b}"]) for side in SIDES for a, b in SEGMENTS if a != "ear"]
)
_HALF_WIDTH: Final = {"shoulder-hip": 0.10}
_WIDTHS: Final = np.array([_HALF_WIDTH.get(f"{a}-{b}", 0.05) for _ in SIDES for a, b in SEGMENTS if a != "ear"])


@dataclass(frozen=True)
class Step:
    """Motion from one picture to the next, in pixels."""

    joints: Array
    """(joints, 2) displacement of each joint; nan where nothing could be followed."""
    sd: Array
    """(joints,) its standard deviation per axis; inf where there is none."""
    background: Array
    """(2, 3) similarity that carries background points from the first picture to the second."""
    background_points: int
    """How many background points agree with it; 0 where the identity was assumed."""
    followed: NDArray[np.float32]
    """(n, 2) background points that were followed, where they are now."""


def step(before: Grey, after: Grey, joints: Array, background: NDArray[np.float32]) -> Step:
    """Follow a body whose `joints` (joints, 2) stand in picture `before`, and `background` points (n, 2)."""
    body = _lay(joints)
    start = np.concatenate([body.reshape(-1, 2), background]).astype(np.float32)
    end, kept = _follow(before, after, start, _window(joints))
    moved = (end - start).astype(float)
    count = body.shape[0] * body.shape[1]
    displacement, sd = _joints(moved[:count].reshape(body.shape), kept[:count].reshape(body.shape[:2]))
    similarity, agreeing = _similarity(start[count:][kept[count:]], end[count:][kept[count:]])
    return Step(displacement, sd, similarity, agreeing, end[count:][kept[count:]])


def background_points(grey: Grey, joints: Array, most: int = 160) -> NDArray[np.float32]:
    """Well-textured points (n, 2) away from the body."""
    mask = np.full(grey.shape, 255, np.uint8)
    margin = 0.12 * float(np.ptp(joints[:, 1]) + np.ptp(joints[:, 0]))
    (x0, y0), (x1, y1) = joints.min(0) - margin, joints.max(0) + margin
    mask[max(0, int(y0)) : max(0, int(y1)), max(0, int(x0)) : max(0, int(x1))] = 0
    found = cv2.goodFeaturesToTrack(grey, most, 0.01, 8, mask=mask)
    return np.zeros((0, 2), np.float32) if found is None else found.reshape(-1, 2).astype(np.float32)


def _lay(joints: Array) -> Array:
    """Points (segments, points, 2) along and beside each segment."""
    a, b = joints[_ENDS[:, 0]], joints[_ENDS[:, 1]]
    along = b - a
    across = np.stack([-along[:, 1], along[:, 0]], axis=-1)
    length = np.linalg.norm(along, axis=-1)
    trunk = np.median(length)
    width = _WIDTHS * trunk / np.maximum(length, 1e-6)
    points = (
        a[:, None] + _T[None, :, None] * along[:, None] + (_S[None, :] * width[:, None])[..., None] * across[:, None]
    )
    return np.asarray(points)


def _window(joints: Array) -> int:
    """An odd number of pixels."""
    side = WINDOW * float(np.linalg.norm(np.ptp(joints, axis=0)))
    return int(np.clip(2 * round(side / 2) + 1, *WINDOWS))


def _follow(
    before: Grey, after: Grey, start: NDArray[np.float32], side: int
) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """Where points go, and which came back to where they started when followed backwards."""
    window = (side, side)
    end, found, _ = cv2.calcOpticalFlowPyrLK(before, after, start, start.copy(), winSize=window, maxLevel=3)
    back, returned, _ = cv2.calcOpticalFlowPyrLK(after, before, end, start.copy(), winSize=window, maxLevel=3)
    near = np.linalg.norm(back - start, axis=-1) < FORWARD_BACKWARD
    return np.asarray(end, np.float32), near & (found.ravel() == 1) & (returned.ravel() == 1)


def _joints(moved: Array, kept: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Displacement and sd per joint from the points' displacements on each segment (segments, points, 2)."""
    usable = np.count_nonzero(kept, axis=1) >= FEWEST
    ends, sd = _lines(moved[usable], kept[usable])
    precision = 1 / sd**2
    weight, total = np.zeros(len(JOINTS)), np.zeros((len(JOINTS), 2))
    np.add.at(weight, _ENDS[usable], precision)
    np.add.at(total, _ENDS[usable], precision[..., None] * ends)
    with np.errstate(divide="ignore", invalid="ignore"):
        return total / weight[:, None], 1 / np.sqrt(weight)


def _lines(moved: Array, kept: NDArray[np.bool_]) -> tuple[Array, Array]:
    """Robust straight line of displacement over position along each segment, read at its ends.

    Args:
        moved: (segments, points, 2) displacements.
        kept: (segments, points) which of them count.

    Returns:
        Displacements (segments, 2, 2) of both ends, and their standard deviations (segments, 2).
    """
    design = np.stack([1 - _T, _T], axis=1)
    weights = kept.astype(float)
    moved = np.where(kept[..., None], moved, 0.0)
    for _ in range(4):
        normal = np.einsum("sp,pi,pj->sij", weights, design, design) + 1e-6 * np.eye(2)
        ends = np.linalg.solve(normal, np.einsum("sp,pi,spk->sik", weights, design, moved))
        residual = np.linalg.norm(moved - design @ ends, axis=2)
        # Of a 2-D residual's length the median is 1.18 standard deviations.
        scale = _median(residual, kept) / 1.18 + 0.01
        weights = kept / (1 + (residual / (2 * scale[:, None])) ** 2) ** 2
    spread = np.sqrt(np.linalg.inv(normal)[:, (0, 1), (0, 1)]) * scale[:, None]
    return ends, np.hypot(FLOOR, spread)


def _median(values: Array, kept: NDArray[np.bool_]) -> Array:
    """Median along the second axis of what is kept, the upper one of two; many times faster than NumPy's of a few numbers."""
    ordered = np.sort(np.where(kept, values, np.inf), axis=1)
    return np.asarray(np.take_along_axis(ordered, np.count_nonzero(kept, axis=1)[:, None] // 2, axis=1)[:, 0])


def _similarity(start: NDArray[np.float32], end: NDArray[np.float32]) -> tuple[Array, int]:
    """Similarity that most background points agree with, and how many do."""
    identity = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    if len(start) < FEWEST:
        return identity, 0
    found, inside = cv2.estimateAffinePartial2D(start, end, method=cv2.RANSAC, ransacReprojThreshold=0.7)
    agreeing = int(np.count_nonzero(inside)) if inside is not None else 0
    return (identity, 0) if found is None or agreeing < FEWEST else (np.asarray(found, dtype=float), agreeing)
