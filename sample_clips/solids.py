"""Plain solids as triangles: rows of position (3), normal (3), texture place (2), layer (1), colour (3)."""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sample_clips.recipe import Colour
from sample_clips.textures import LAYERS, METRES

Triangles = NDArray[np.float32]
Vector = NDArray[np.float64]


def quad(
    corner: Vector, across: Vector, along: Vector, material: str, colour: Colour, whole: bool = False
) -> Triangles:
    """A flat four-sided piece; `whole` lays the texture over it once, otherwise it repeats at its own size."""
    normal = np.cross(across, along)
    normal = normal / np.linalg.norm(normal)
    size = METRES.get(material, 1.0)
    scale = (1.0, 1.0) if whole else (np.linalg.norm(across) / size, np.linalg.norm(along) / size)
    places = np.array([(0, 0), (1, 0), (1, 1), (0, 0), (1, 1), (0, 1)], dtype=float)
    points = corner + places[:, :1] * across + places[:, 1:] * along
    return _rows(points, np.tile(normal, (6, 1)), places * scale, material, colour)


def box(
    centre: Vector, size: Vector, material: str, colour: Colour, whole: bool = False, turn: float = 0.0
) -> Triangles:
    """A box, turned about the vertical by `turn` degrees."""
    angle = np.radians(turn)
    frame = np.array([[np.cos(angle), np.sin(angle), 0], [-np.sin(angle), np.cos(angle), 0], [0, 0, 1.0]])
    x, y, z = (frame[axis] * size[axis] for axis in range(3))
    low = centre - (x + y + z) / 2
    faces = [(low, x, z), (low + x, y, z), (low + x + y, -x, z), (low + y, -y, z), (low + z, x, y), (low + y, x, -y)]
    return np.concatenate([quad(corner, across, along, material, colour, whole) for corner, across, along in faces])


def bar(first: Vector, second: Vector, radius: float, material: str, colour: Colour, sides: int = 12) -> Triangles:
    """A round bar between two points, its ends open."""
    along = second - first
    length = float(np.linalg.norm(along))
    helper = np.array([0.0, 0, 1]) if abs(along[2]) < 0.9 * length else np.array([1.0, 0, 0])
    u = np.cross(along, helper)
    u = u / np.linalg.norm(u)
    v = np.cross(along / length, u)
    pieces = []
    angles = np.linspace(0, 2 * np.pi, sides + 1)
    for a, b in pairwise(angles):
        na, nb = (u * np.cos(t) + v * np.sin(t) for t in (a, b))
        points = np.array([first + radius * na, first + radius * nb, second + radius * nb])
        points = np.concatenate([points, [first + radius * na, second + radius * nb, second + radius * na]])
        places = np.array([(a, 0), (b, 0), (b, length * 4), (a, 0), (b, length * 4), (a, length * 4)])
        pieces.append(_rows(points, np.array([na, nb, nb, na, nb, na]), places, material, colour))
    return np.concatenate(pieces)


def ball(centre: Vector, radius: Vector, material: str, colour: Colour) -> Triangles:
    """An ellipsoid."""
    theta, phi = np.linspace(0, np.pi, 13), np.linspace(0, 2 * np.pi, 21)
    pieces = []
    for t0, t1 in pairwise(theta):
        for p0, p1 in pairwise(phi):
            angles = np.array([(t0, p0), (t1, p0), (t1, p1), (t0, p0), (t1, p1), (t0, p1)])
            t, p = angles[:, 0], angles[:, 1]
            normal = np.stack([np.sin(t) * np.cos(p), np.sin(t) * np.sin(p), np.cos(t)], -1)
            pieces.append(_rows(centre + radius * normal, normal, angles * 0.5, material, colour))
    return np.concatenate(pieces)


def _rows(points: Vector, normals: Vector, places: Vector, material: str, colour: Colour) -> Triangles:
    count = len(points)
    layer = np.full((count, 1), float(LAYERS.index(material)))
    return np.asarray(np.hstack([points, normals, places, layer, np.tile(colour, (count, 1))]), dtype=np.float32)
