"""How the phone moved while it filmed."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.filters import without_trend

Array = NDArray[np.float64]

STILL: Final = 0.12
"""A phone whose background moves less than this from picture to picture (pixels, median) and does not wander is taken
as standing still: its tracked motion would only add noise."""
WANDER: Final = 2.0
"""Pixels that the background of a phone standing still may seem to wander over the clip."""


def carry(similarity: Array, points: Array) -> Array:
    """Points (..., 2) moved by similarities (..., 2, 3) that match their leading axes."""
    return np.einsum("...ij,...j->...i", similarity[..., :2], points) + similarity[..., 2]


@dataclass(frozen=True)
class PhoneMotion:
    """The phone's own motion."""

    to_first: Array
    """(frames, 2, 3) similarity that carries a point of each picture to where the first picture would show it."""
    shake: float
    """RMS over the clip of the picture's displacement at its centre about its straight drift, pixels."""
    known: bool
    """False where the background was too plain to tell."""

    def from_first(self) -> Array:
        """(frames, 2, 3) the inverse of `to_first`."""
        turn = np.linalg.inv(self.to_first[:, :, :2])
        return np.concatenate([turn, -(turn @ self.to_first[:, :, 2:])], axis=2)


def turns_to_first(phone: PhoneMotion, focal: float, centre: Array) -> Array:
    """Rotations (frames, 3, 3) that carry a direction of each frame's camera (x right, y down, z away) to the first's.

    The turn about the lens's axis is that of the picture; the axis itself points where the picture's centre went.
    """
    turned = phone.to_first[:, :, :2] / np.sqrt(np.linalg.det(phone.to_first[:, :, :2]))[:, None, None]
    roll = np.tile(np.eye(3), (len(turned), 1, 1))
    roll[:, :2, :2] = turned
    away = (carry(phone.to_first, np.broadcast_to(centre, (len(turned), 2))) - centre) / focal
    axis = np.concatenate([away, np.ones((len(away), 1))], axis=1)
    return from_to(np.array([0.0, 0.0, 1.0]), axis / np.linalg.norm(axis, axis=1, keepdims=True)) @ roll


def from_to(start: Array, end: Array) -> Array:
    """The smallest rotations (..., 3, 3) that take unit vectors (..., 3) to others, not opposite ones (Rodrigues)."""
    x, y, z = np.moveaxis(np.cross(start, end), -1, 0)
    none = np.zeros_like(x)
    skew = np.moveaxis(np.array([[none, -z, y], [z, none, -x], [-y, x, none]]), (0, 1), (-2, -1))
    cosine = np.sum(start * end, axis=-1)[..., None, None]
    return np.asarray(np.eye(3) + skew + skew @ skew / (1 + cosine))


def phone_motion(camera: Array, background: NDArray[np.int_], size: tuple[int, int]) -> PhoneMotion:
    """Chain the background's motion from picture to picture.

    Args:
        camera: (frames, 2, 3) similarity that carries background points of the picture before to this one.
        background: (frames,) points that agree with it.
        size: width and height of the picture.
    """
    n = len(camera)
    chained = np.tile(np.eye(3), (n, 1, 1))
    for i in range(1, n):
        moved = np.vstack([camera[i], [0, 0, 1]])
        chained[i] = chained[i - 1] @ np.linalg.inv(moved)
    centre = np.array(size) / 2
    path = carry(chained[:, :2], np.broadcast_to(centre, (n, 2)))
    step = np.linalg.norm(carry(camera, np.broadcast_to(centre, (n, 2))) - centre, axis=1)
    known = bool(np.median(background[1:]) > 0) if n > 1 else False
    still = np.median(step[1:]) < STILL and np.ptp(path, axis=0).max() < WANDER
    if still or not known:
        return PhoneMotion(np.tile(np.eye(2, 3), (n, 1, 1)), 0.0, known)
    about_drift = without_trend(path)
    return PhoneMotion(chained[:, :2], float(np.sqrt(np.mean(about_drift**2) * 2)), known)
