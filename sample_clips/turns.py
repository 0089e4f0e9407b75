"""Turns of rigid parts: rotation matrices over frames, canonical axes (X forward, Y left, Z up), angles in degrees."""

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

Array = NDArray[np.float64]
FORWARD = np.array([1.0, 0.0, 0.0])
LATERAL = np.array([0.0, 1.0, 0.0])
UPWARD = np.array([0.0, 0.0, 1.0])


def about(axis: Array, angle: Array | float) -> Array:
    """Rotation matrices (N, 3, 3) about a unit axis (3,)."""
    return Rotation.from_rotvec(np.radians(np.atleast_1d(angle))[:, None] * axis).as_matrix()


def about_y(pitch: Array | float) -> Array:
    """Rotation matrices (N, 3, 3) for pitch: 0 upright, 90 with the upper end forward."""
    return about(LATERAL, pitch)


def apply(turn: Array, vector: Array) -> Array:
    """Vectors (3,) or (N, 3) turned by (N, 3, 3)."""
    return np.einsum("nij,...j->ni", turn, vector) if vector.ndim == 1 else np.einsum("nij,nj->ni", turn, vector)


def unit(vector: Array) -> Array:
    """The vectors' directions."""
    return vector / np.linalg.norm(vector, axis=-1, keepdims=True)


def from_rest(direction: Array, hinge: Array, rest_direction: Array, rest_hinge: Array) -> Array:
    """Turns (N, 3, 3) that take a segment at rest (3,) and its hinge to the directions (N, 3) wanted."""
    return _frame(direction, hinge) @ np.swapaxes(_frame(rest_direction[None], rest_hinge[None]), -1, -2)


def half_twist(fore: Array, hand: Array, axis: Array) -> Array:
    """The forearm turned about its own `axis` (rest) by half of what the hand is twisted against it."""
    relative = Rotation.from_matrix(np.swapaxes(fore, -1, -2) @ hand).as_quat()
    axis = axis / np.linalg.norm(axis)
    twist = np.degrees(2 * np.arctan2(relative[:, :3] @ axis, relative[:, 3]))
    return fore @ about(axis, (np.mod(twist + 180, 360) - 180) / 2)


def _frame(direction: Array, hinge: Array) -> Array:
    first = unit(direction)
    second = unit(hinge - first * np.sum(hinge * first, axis=-1, keepdims=True))
    return np.stack([first, second, np.cross(first, second)], axis=-1)
