"""Plane geometry that the movements share. Points in the plane are (N, 2): forward and up; lengths in metres."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def up(pitch: Array | float) -> Array:
    """Unit vector (N, 2) of a segment's upper end at a pitch in degrees."""
    angle = np.radians(np.atleast_1d(pitch))
    return np.stack([np.sin(angle), np.cos(angle)], -1)


def deep(points: Array, y: Array | float = 0.0) -> Array:
    """Plane points (N, 2) as points in space (N, 3)."""
    return np.stack([points[..., 0], np.broadcast_to(y, points[..., 0].shape), points[..., 1]], -1)


def both(name: str, points: Array, half_width: Array | float) -> dict[str, Array]:
    """Left and right targets of a limb at the same place (N, 2) of the plane, mirrored."""
    x, y, z = np.broadcast_arrays(points[..., 0], half_width, points[..., 1])
    return {f"{name}_left": np.stack([x, y, z], -1), f"{name}_right": np.stack([x, -y, z], -1)}


def crossing(first: Array, radius_first: Array, second: Array, radius_second: Array, *, left: bool) -> Array:
    """Where two circles cross (N, 2): the crossing on the left, or right, of the way from the first centre to the second."""
    between = second - first
    distance = np.linalg.norm(between, axis=-1)
    along = (distance**2 + radius_first**2 - radius_second**2) / (2 * distance)
    if np.any(np.abs(along) > radius_first):
        raise ValueError("the hands and feet of this recipe are too far apart, or too close, for its body")
    across = np.sqrt(radius_first**2 - along**2)
    unit = between / distance[..., None]
    normal = np.stack([-unit[..., 1], unit[..., 0]], -1) * (1 if left else -1)
    return first + unit * along[..., None] + normal * across[..., None]


def span(leg: Array, trunk: Array, hip: Array | float) -> Array:
    """Distance from ankle to shoulder of a body bent by `hip` degrees."""
    return np.sqrt(leg**2 + trunk**2 + 2 * leg * trunk * np.cos(np.radians(hip)))


def hang_body(ankle: Array, shoulder: Array, leg: Array, trunk: Array, hip: Array) -> tuple[Array, Array]:
    """Hips (N, 2) and trunk pitch (N,) of a body from ankle to shoulder, bent by `hip` degrees (flexion positive)."""
    line = shoulder - ankle
    whole = np.linalg.norm(line, axis=-1)
    at_ankle = np.degrees(np.arcsin(np.clip(trunk * np.sin(np.radians(hip)) / whole, -1, 1)))
    hips = ankle + leg[..., None] * up(pitch_of(line) - at_ankle)
    return hips, pitch_of(shoulder - hips)


def pitch_of(line: Array) -> Array:
    """Pitch (N,) in degrees of lines (N, 2) from their lower end."""
    return np.degrees(np.arctan2(line[..., 0], line[..., 1]))


def hung(arm: Array, ahead: Array) -> Array:
    """From the hands to the shoulders (N, 2): so far ahead (negative: behind), and the rest of the arm upward."""
    return np.stack(np.broadcast_arrays(ahead, np.sqrt(arm**2 - ahead**2)), -1)
