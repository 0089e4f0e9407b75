"""Straight edges of the scene round the athlete."""

from typing import Any, Final

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.pose import extent
from vision.skeleton import INDEX, SEGMENTS, SIDES

Array = NDArray[np.float64]

SHORTEST: Final = 0.03
"""Shortest edge looked at, share of the picture's shorter side."""
ON_BODY: Final = 0.08
"""Distance from the body's segments, share of its extent, within which an edge may be the body's own or its clothes'."""

_ACROSS: Final = (("left_shoulder", "right_shoulder"), ("left_hip", "right_hip"), ("nose", "left_ear"))
_SEGMENTS: Final = (*((f"{side}_{a}", f"{side}_{b}") for side in SIDES for a, b in SEGMENTS), *_ACROSS)
_STARTS: Final = [INDEX[a] for a, _ in _SEGMENTS]
_ENDS: Final = [INDEX[b] for _, b in _SEGMENTS]


def edges(grey: NDArray[Any], body: Array | None) -> Array:
    """Straight edges (n, 4: x0, y0, x1, y1), pixels, that are not the body's (joints, 2) own."""
    found = cv2.createLineSegmentDetector().detect(grey)[0]
    if found is None:
        return np.zeros((0, 4))
    lines = np.asarray(found, dtype=float).reshape(-1, 4)
    lines = lines[np.hypot(*(lines[:, 2:] - lines[:, :2]).T) > SHORTEST * min(grey.shape)]
    if body is None or not len(lines):
        return lines
    return lines[~_on_body(lines, body)]


def _on_body(lines: Array, body: Array) -> NDArray[np.bool_]:
    """Whether two of an edge's start, middle and end lie on the body. A strap that hangs to a hand does not."""
    points = np.stack([lines[:, :2], (lines[:, :2] + lines[:, 2:]) / 2, lines[:, 2:]], axis=1)
    start, along = body[_STARTS], body[_ENDS] - body[_STARTS]
    away = points[:, :, None] - start
    share = np.clip(np.sum(away * along, axis=-1) / np.maximum(np.sum(along**2, axis=-1), 1e-9), 0, 1)
    distance = np.linalg.norm(away - share[..., None] * along, axis=-1).min(axis=2)
    return np.asarray(np.count_nonzero(distance < ON_BODY * float(extent(body)), axis=1) >= 2)
