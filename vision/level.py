"""Which way is down, and how far the lens is turned from the athlete's side: the frame in which angles are read.

A point p of the picture (pixels from its centre) is seen along the ray (p / f, 1). Turning the rays until gravity points
down the picture, and then about the vertical until the lens looks square onto the plane in which the athlete moves, shows
that plane in its true shape, at whatever height the lens stood (a homography: Hartley & Zisserman, Multiple View
Geometry, section 8.4). Roll, pitch, focal length and yaw are each known only so well; `Level.doubts` says how.
"""

from dataclasses import dataclass, replace
from typing import Final, Literal, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from vision.camera import from_to
from vision.propagate import Estimate
from vision.room import FOCAL, PRIOR_SD, Room, read_room

Array = NDArray[np.float64]

ASSUMED_ROLL: Final = PRIOR_SD[0]
ASSUMED_PITCH: Final = PRIOR_SD[1]
"""Degrees, standard: how far a phone that was propped up or held by eye stands from level."""
DOWN: Final = np.array([0.0, 1.0, 0.0])
"""Gravity in the frame of a level lens."""
SCENE_U: Final = 0.25
"""Degrees, standard: walls, racks and posts are themselves upright to about this (common practice, no source)."""


@dataclass(frozen=True)
class Level:
    """Gravity in the camera's frame, the lens, and its turn from the athlete's side."""

    gravity: Array
    """(3,) unit vector, x right, y down, z away from the lens; or (frames, 3) where the phone turned meanwhile."""
    focal: float
    """Pixels."""
    centre: Array
    """(2,) pixels."""
    roll_u: float
    """Degrees, standard."""
    pitch_u: float
    source: Literal["sensor", "scene", "assumed"]
    focal_u: float = 0.0
    """Share, standard."""
    pitch_focal: float = 0.0
    """Correlation between the errors of the pitch and of the focal length: upright edges tell their ratio best."""
    yaw: float = 0.0
    """Degrees about the vertical by which the lens is turned from the athlete's side; positive when it stands further
    to the right of the picture than abeam."""
    yaw_u: float = 0.0
    walls: Estimate | None = None
    """Yaw of the lens against the edges of the scene, degrees; None where they tell nothing."""
    notes: tuple[str, ...] = ()
    """What a reader should know of how this came about."""

    @property
    def roll(self) -> float:
        """Degrees; positive when the floor rises toward the picture's right."""
        return float(np.median(roll_pitch(self.gravity)[0]))

    @property
    def pitch(self) -> float:
        """Degrees; positive when the lens looks up."""
        return float(np.median(roll_pitch(self.gravity)[1]))

    def rectified(self, points: Array) -> Array:
        """Points (..., 2) as the same lens would have seen them, held level and square to the athlete's plane.

        Gravity then points down the picture. Where gravity is given by frame, the points' first axis is the frames.
        """
        rays = np.concatenate([(points - self.centre) / self.focal, np.ones((*points.shape[:-1], 1))], axis=-1)
        turned = self.turned(rays)
        return np.asarray(turned[..., :2] / turned[..., 2:] * self.focal + self.centre)

    def turned(self, vectors: Array) -> Array:
        """Vectors (..., 3) of the camera's frame in the frame of the same lens held level and square."""
        turn = _about_vertical(self.yaw) @ from_to(self.gravity, DOWN)
        if turn.ndim == 2:
            return np.asarray(vectors @ turn.T)
        return np.asarray(np.einsum("fij,f...j->f...i", turn, vectors))

    def down(self, point: Array) -> Array:
        """(2,) unit vector of gravity in the picture, at a point of it: upright edges lean together in perspective."""
        x, y = point - self.centre
        gx, gy, gz = self.gravity.reshape(-1, 3).mean(axis=0)
        direction = np.array([self.focal * gx - x * gz, self.focal * gy - y * gz])
        return np.asarray(direction / np.linalg.norm(direction))

    def over(self, frames: NDArray[np.bool_]) -> Self:
        """The same for some of the frames."""
        return self if self.gravity.ndim == 1 else replace(self, gravity=self.gravity[frames])

    def facing(self, yaw: Estimate) -> Self:
        """The same, square to an athlete from whose side the lens is turned by `yaw` degrees."""
        return replace(self, yaw=yaw.value, yaw_u=yaw.u)

    def doubts(self) -> tuple[tuple[Self, Self], ...]:
        """Pairs of levels, one standard uncertainty to either side of this one; the pairs are independent."""
        apart = np.sqrt(1 - self.pitch_focal**2)
        steps = (
            (self.roll_u, 0.0, 0.0, 0.0),
            (0.0, self.pitch_u, self.pitch_focal * self.focal_u, 0.0),
            (0.0, 0.0, apart * self.focal_u, 0.0),
            (0.0, 0.0, 0.0, self.yaw_u),
        )
        return tuple((self._moved(*step), self._moved(*(-x for x in step))) for step in steps if any(step))

    def _moved(self, roll: float, pitch: float, focal: float, yaw: float) -> Self:
        own_roll, own_pitch = roll_pitch(self.gravity)
        gravity = gravity_of(own_roll + roll, own_pitch + pitch)
        return replace(self, gravity=gravity, focal=self.focal * float(np.exp(focal)), yaw=self.yaw + yaw)


def gravity_of(roll: ArrayLike, pitch: ArrayLike) -> Array:
    """Unit vectors (..., 3) of gravity in the camera's frame from roll and pitch (...) in degrees."""
    r, p = np.radians(roll), np.radians(pitch)
    return np.stack(np.broadcast_arrays(np.sin(r) * np.cos(p), np.cos(r) * np.cos(p), -np.sin(p)), axis=-1)


def roll_pitch(gravity: Array) -> tuple[Array, Array]:
    """The inverse of `gravity_of`."""
    roll = np.degrees(np.arctan2(gravity[..., 0], gravity[..., 1]))
    return roll, -np.degrees(np.arcsin(np.clip(gravity[..., 2], -1, 1)))


def assumed(size: tuple[int, int]) -> Level:
    """The phone taken as level, for want of anything better."""
    return _level(size, np.zeros(4), np.diag(np.square(PRIOR_SD)), "assumed")


def from_scene(looks: list[Array], size: tuple[int, int]) -> Level:
    """Level the picture by the edges (n, 4) found in several looks at the scene."""
    room = read_room(looks, size) if looks else None
    if room is None or room.odds < 0:
        return assumed(size)
    mean, covariance = _hedged(room)
    covariance[[0, 1], [0, 1]] += SCENE_U**2
    level = _level(size, mean, covariance, "scene")
    return replace(level, walls=Estimate(float(mean[2]), float(np.sqrt(covariance[2, 2]))))


def _hedged(room: Room) -> tuple[Array, Array]:
    """Mean (4,) and covariance (4, 4) of what the edges say if they are a room's, and of what is known if they are not."""
    share = 1 / (1 + np.exp(-room.odds))
    mean = share * room.mean
    between = share * (1 - share) * np.outer(room.mean, room.mean)
    return mean, share * room.covariance + (1 - share) * np.diag(np.square(PRIOR_SD)) + between


def _level(size: tuple[int, int], mean: Array, covariance: Array, source: Literal["scene", "assumed"]) -> Level:
    """From roll, pitch, yaw and log focal length, as `vision.room` counts them."""
    sd = np.sqrt(np.diag(covariance))
    return Level(
        gravity=gravity_of(mean[0], mean[1]),
        focal=FOCAL * max(size) * float(np.exp(mean[3])),
        centre=(np.array(size, dtype=float) - 1) / 2,
        roll_u=float(sd[0]),
        pitch_u=float(sd[1]),
        source=source,
        focal_u=float(sd[3]),
        pitch_focal=float(covariance[1, 3] / (sd[1] * sd[3])),
    )


def _about_vertical(yaw: float) -> Array:
    """The rotation (3, 3) that turns the rays of a level lens, yawed by so many degrees, square to the athlete's plane."""
    cosine, sine = np.cos(np.radians(yaw)), np.sin(np.radians(yaw))
    return np.array([[cosine, 0, -sine], [0, 1, 0], [sine, 0, cosine]])
