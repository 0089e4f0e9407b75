"""Which way is down: the phone's roll and pitch, read from the upright edges of the scene.

Edges that are upright in the world meet in one point of the picture, the vanishing point of gravity. With gravity
g = (gx, gy, gz) in the camera's frame (x right, y down, z away) and the focal length f, the edge through a point (x, y),
counted from the picture's centre, runs at dx/dy = (f gx - x gz) / (f gy - y gz). Written with a = gx / gy and
b = gz / (f gy) this is linear, a + b (y t - x) = t with t = dx/dy, so two edges give a candidate and the rest vote
(RANSAC, Fischler & Bolles 1981; vanishing points: Hartley & Zisserman, Multiple View Geometry, section 8.6).
"""

from dataclasses import dataclass
from typing import Any, Final, Literal

import cv2
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

FOCAL: Final = 0.80
"""Focal length of a phone's main lens in video, as a share of the longer side (common practice, no source)."""
FOCAL_U: Final = 0.12
ASSUMED_ROLL: Final = 2.0
ASSUMED_PITCH: Final = 6.0
"""Degrees, standard: how far a phone that was propped up by eye stands from level."""
MOST_ROLL: Final = 15.0
MOST_PITCH: Final = 35.0
AGREE: Final = 0.6
"""Degrees within which an edge agrees with a candidate."""
LEAST_LENGTH: Final = 0.5
"""Agreeing edges, laid end to end, as a share of the picture's height; with less the phone is taken to be level."""
LEAST_SHARE: Final = 0.3
"""Their share among all edges that come near to upright."""
LEAST_PLACES: Final = 3
"""Places in which edges must agree: a level has two free numbers, so any two leaning things seem to agree on one."""
APART: Final = 0.03
"""Share of the longer side by which edges lie apart in two places; nearer ones are both sides of one thing."""
SCENE_ROLL: Final = 0.25
"""Degrees, standard: walls, racks and posts are themselves upright to about this (common practice, no source)."""
TRIES: Final = 400


@dataclass(frozen=True)
class Level:
    """Gravity in the camera's frame."""

    gravity: Array
    """(3,) unit vector; x right, y down, z away from the lens."""
    focal: float
    """Pixels."""
    centre: Array
    """(2,) pixels."""
    roll_u: float
    """Degrees, standard."""
    pitch_u: float
    source: Literal["sensor", "scene", "assumed"]

    @property
    def roll(self) -> float:
        """Degrees; positive when the floor rises toward the picture's right."""
        return float(np.degrees(np.arctan2(self.gravity[0], self.gravity[1])))

    @property
    def pitch(self) -> float:
        """Degrees; positive when the lens looks up."""
        return float(-np.degrees(np.arcsin(self.gravity[2])))

    def rectified(self, points: Array) -> Array:
        """Points (..., 2) as the same lens would have seen them, held level: gravity then points down the picture."""
        rays = np.concatenate([(points - self.centre) / self.focal, np.ones((*points.shape[:-1], 1))], axis=-1)
        turned = self.turned(rays)
        return np.asarray(turned[..., :2] / turned[..., 2:] * self.focal + self.centre)

    def turned(self, vectors: Array) -> Array:
        """Vectors (..., 3) of the camera's frame in the frame of the same lens held level."""
        return np.asarray(vectors @ _turn(self.gravity).T)

    def down(self, point: Array) -> Array:
        """(2,) unit vector of gravity in the picture, at a point of it: upright edges lean together in perspective."""
        x, y = point - self.centre
        gx, gy, gz = self.gravity
        direction = np.array([self.focal * gx - x * gz, self.focal * gy - y * gz])
        return np.asarray(direction / np.linalg.norm(direction))


def assumed(size: tuple[int, int]) -> Level:
    """The phone taken as level, for want of anything better."""
    return _level(size, 0.0, 0.0, ASSUMED_ROLL, ASSUMED_PITCH, "assumed")


def edges(grey: NDArray[Any], body: Array | None) -> Array:
    """Straight edges (n, 4: x0, y0, x1, y1) that run within 30 degrees of upright, away from the body."""
    found = cv2.createLineSegmentDetector().detect(grey)[0]
    if found is None:
        return np.zeros((0, 4))
    lines = np.asarray(found, dtype=float).reshape(-1, 4)
    along = lines[:, 2:] - lines[:, :2]
    upright = np.abs(along[:, 0]) < np.tan(np.radians(30)) * np.abs(along[:, 1])
    long = np.hypot(*along.T) > 0.05 * grey.shape[0]
    lines = lines[upright & long]
    if body is None:
        return lines
    margin = 0.05 * np.ptp(body, axis=0).max()
    low, high = body.min(0) - margin, body.max(0) + margin
    middle = (lines[:, :2] + lines[:, 2:]) / 2
    return lines[~np.all((middle > low) & (middle < high), axis=1)]


def from_scene(looks: list[Array], size: tuple[int, int]) -> Level:
    """Level the picture by the upright edges found in several looks at the scene."""
    lines = np.concatenate(looks) if looks else np.zeros((0, 4))
    fallback = assumed(size)
    if len(lines) < 3:
        return fallback
    along = lines[:, 2:] - lines[:, :2]
    middle = (lines[:, :2] + lines[:, 2:]) / 2 - fallback.centre
    lean = along[:, 0] / along[:, 1]
    lever = middle[:, 1] * lean - middle[:, 0]
    weight = np.hypot(*along.T) / len(looks)
    a, b, agree = _vote(lean, lever, weight, fallback.focal)
    near_upright = weight[np.abs(np.degrees(np.arctan(lean))) < MOST_ROLL].sum()
    if weight[agree].sum() < LEAST_LENGTH * size[1] or weight[agree].sum() < LEAST_SHARE * near_upright:
        return fallback
    if _places(lever[agree], APART * max(size)) < LEAST_PLACES:
        return fallback
    a, b, roll_u, pitch_u = _refine(lean[agree], lever[agree], weight[agree], fallback.focal, len(looks))
    return _level(size, a, b, roll_u, pitch_u, "scene")


def _vote(lean: Array, lever: Array, weight: Array, focal: float) -> tuple[float, float, NDArray[np.bool_]]:
    """The candidate (a, b) that the greatest length of edges agrees with, and which do."""
    pick = np.random.default_rng(0)
    first, second = (pick.choice(len(lean), TRIES, p=weight / weight.sum()) for _ in range(2))
    apart = lever[first] - lever[second]
    b = np.divide(lean[first] - lean[second], apart, out=np.zeros(TRIES), where=np.abs(apart) > 0.1 * focal)
    a = lean[first] - b * lever[first]
    possible = (np.abs(a) < np.tan(np.radians(MOST_ROLL))) & (np.abs(b) * focal < np.tan(np.radians(MOST_PITCH)))
    off = np.degrees(np.arctan(lean)) - np.degrees(np.arctan(a[:, None] + b[:, None] * lever))
    agree = (np.abs(off) < AGREE) & possible[:, None]
    # A lens that looks level needs one number less: it wins a tie.
    score = agree @ weight - 0.02 * weight.sum() * np.abs(b) * focal
    best = int(np.argmax(score))
    return float(a[best]), float(b[best]), agree[best]


def _places(lever: Array, apart: float) -> int:
    """How many groups the edges fall into by where they cross the picture's middle row."""
    return 1 + int(np.count_nonzero(np.diff(np.sort(lever)) > apart))


def _refine(lean: Array, lever: Array, weight: Array, focal: float, looks: int) -> tuple[float, float, float, float]:
    """Weighted least squares over the edges that agree: a, b, and the standard uncertainties of roll and pitch."""
    noise = np.radians(AGREE / 2)
    prior = noise**2 / (weight.mean() * (np.tan(np.radians(2 * ASSUMED_PITCH)) / focal) ** 2)
    design = np.stack([np.ones_like(lever), lever], axis=1)
    normal = design.T @ (design * weight[:, None]) + np.diag([0, prior * weight.mean()])
    a, b = np.linalg.solve(normal, design.T @ (lean * weight))
    # The same edges come back in every look, so they count once.
    spread = np.sqrt(np.diag(np.linalg.inv(normal)) * weight.mean() * looks) * noise
    roll_u = float(np.hypot(np.degrees(spread[0]), SCENE_ROLL))
    pitch = np.arctan(b * focal)
    pitch_u = np.degrees(np.hypot(spread[1] * focal, FOCAL_U * np.tan(pitch)))
    return float(a), float(b), roll_u, float(pitch_u)


def _level(
    size: tuple[int, int], a: float, b: float, roll_u: float, pitch_u: float, source: Literal["scene", "assumed"]
) -> Level:
    focal = FOCAL * max(size)
    gravity = np.array([a, 1.0, b * focal])
    centre = (np.array(size, dtype=float) - 1) / 2
    return Level(gravity / np.linalg.norm(gravity), focal, centre, roll_u, pitch_u, source)


def _turn(gravity: Array) -> Array:
    """The smallest rotation (3, 3) that takes gravity to straight down the picture."""
    down = np.array([0.0, 1.0, 0.0])
    axis = np.cross(gravity, down)
    sine, cosine = np.linalg.norm(axis), float(gravity @ down)
    if sine < 1e-9:
        return np.eye(3)
    return np.asarray(cv2.Rodrigues(axis / sine * np.arctan2(sine, cosine))[0])
