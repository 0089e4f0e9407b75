"""The phone: where it stands, how it is turned and shakes, and where it sees a point of the world.

World axes: x to the right along the floor as the unyawed phone sees it, y away from it, z up; metres. Pixels are of
the upright picture, centres at integers, u right and v down. No lens distortion.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sample_clips.recipe import Phone
from sample_clips.shake import Shake

Array = NDArray[np.float64]
UP = np.array([0.0, 0.0, 1.0])
CLOSEST, FARTHEST = 1.2, 9.0
DOWNMOST, UPMOST = -15.0, 25.0
"""A phone that finds its own distance stands so that it need not look further down or up than this, degrees."""


@dataclass(frozen=True)
class Camera:
    """A pinhole at each frame: `positions` (N, 3) and `axes` (N, 3, 3), whose rows are right, up and forward.

    `axes` are those of the picture; a stabilised picture's are not the phone's own (`held`).
    """

    phone: Phone
    pitch: float
    distance: float
    positions: Array
    axes: Array
    held: Array
    shake: Shake

    @property
    def focal_px(self) -> float:
        """Focal length in pixels."""
        return focal_px(self.phone)

    def project(self, points: Array) -> Array:
        """Pixels (N, 2) of one world point per frame (N, 3)."""
        return _project(self.phone, self.positions, self.axes, points)

    def held_at(self, time: Array) -> Array:
        """How the phone itself is turned (N, 3, 3) at any times of the clip."""
        return _turned(self.phone, self.pitch, self.shake.at(time)[:, :3])


def focal_px(phone: Phone) -> float:
    """Focal length in pixels, from the angle of view along the picture's longer side."""
    return float(max(phone.width, phone.height) / 2 / np.tan(np.radians(phone.view / 2)))


def axes_of(yaw: float | Array, pitch: float | Array, roll: float | Array) -> Array:
    """Rows right, up, forward (N, 3, 3) of a phone turned by yaw, then pitch, then roll (degrees)."""
    yaw, pitch, roll = (np.radians(np.atleast_1d(v)) for v in np.broadcast_arrays(yaw, pitch, roll))
    zero = 0 * yaw
    right = np.stack([np.cos(yaw), np.sin(yaw), zero], -1)
    level = np.stack([-np.sin(yaw), np.cos(yaw), zero], -1)
    forward = level * np.cos(pitch)[:, None] + UP * np.sin(pitch)[:, None]
    up = UP * np.cos(pitch)[:, None] - level * np.sin(pitch)[:, None]
    turned_right = right * np.cos(roll)[:, None] - up * np.sin(roll)[:, None]
    turned_up = up * np.cos(roll)[:, None] + right * np.sin(roll)[:, None]
    return np.stack([turned_right, turned_up, forward], axis=1)


def angles_of(axes: Array) -> dict[str, Array]:
    """Roll, pitch and yaw (N,) in degrees of axes (N, 3, 3): the inverse of `axes_of`."""
    right, up, forward = axes[:, 0], axes[:, 1], axes[:, 2]
    return {
        "roll": np.degrees(np.arctan2(-right[:, 2], up[:, 2])),
        "pitch": np.degrees(np.arcsin(np.clip(forward[:, 2], -1, 1))),
        "yaw": np.degrees(np.arctan2(-forward[:, 0], forward[:, 1])),
    }


def place_camera(phone: Phone, seen: Array, time: Array, seed: int) -> Camera:
    """Stand the phone so that it sees the points `seen` (M, 3), and shake it over the frames' times (N,)."""
    low, high = seen.min(axis=0), seen.max(axis=0)
    target = (low + high) / 2
    target[0] += phone.aim
    distance = phone.distance if phone.distance is not None else _fitting(phone, seen, target)
    if phone.cut:
        target = _past_the_edge(phone, seen, target, distance)
    pitch = phone.pitch if phone.pitch is not None else _pitch_to(phone, target, distance)
    shake = Shake.of(phone, float(time[-1]), seed)
    moved = shake.at(time)
    held = _turned(phone, pitch, moved[:, :3])
    axes = held
    if phone.stabilised != "none":
        calm = shake.stabilised(time)[:, :3]
        level = phone.model_copy(update={"roll": 0.0}) if phone.stabilised == "horizon" else phone
        axes = _turned(level, pitch, calm)
    return Camera(
        phone, float(pitch), float(distance), _stand(phone, target, distance) + moved[:, 3:], axes, held, shake
    )


def _turned(phone: Phone, pitch: float, turn: Array) -> Array:
    return axes_of(phone.yaw + turn[:, 0], pitch + turn[:, 1], phone.roll + turn[:, 2])


def _past_the_edge(phone: Phone, seen: Array, middle: Array, distance: float) -> Array:
    """Look aside, or up or down, so far that a share of the athlete's extent lies beyond the picture's edge.

    A phone that would have to look further up or down than people let it sees all of the athlete.
    """
    target = middle
    column, size = (0, phone.width) if phone.cut_edge in ("left", "right") else (1, phone.height)
    for _ in range(8):
        axes = axes_of(phone.yaw, _pitch_to(phone, target, distance), phone.roll)
        position = _stand(phone, target, distance)
        pixels = _project(phone, position, np.repeat(axes, len(seen), 0), seen)[:, column]
        beyond = phone.cut * np.ptp(pixels)
        onward = phone.cut_edge in ("right", "bottom")
        shift = size - 1 - (pixels.max() - beyond) if onward else -(pixels.min() + beyond)
        metres = 0.7 * shift * float(axes[0, 2] @ (target - position)) / focal_px(phone)
        target = target - metres * (axes[0, 0] if column == 0 else -UP)
    return np.asarray(target if DOWNMOST <= _pitch_to(phone, target, distance) <= UPMOST else middle)


def _stand(phone: Phone, target: Array, distance: float) -> Array:
    yaw = np.radians(phone.yaw)
    away = np.array([np.sin(yaw), -np.cos(yaw), 0.0])
    at = target * [1, 1, 0] + away * distance
    return np.asarray(at + UP * phone.lens_height)


def _pitch_to(phone: Phone, target: Array, distance: float) -> float:
    return float(np.degrees(np.arctan2(target[2] - phone.lens_height, distance)))


def _fitting(phone: Phone, seen: Array, target: Array) -> float:
    """The least distance at which every point lies within `fill` of the picture."""
    size = np.array([phone.width, phone.height])
    for distance in np.arange(CLOSEST, FARTHEST, 0.05):
        pitch = phone.pitch if phone.pitch is not None else _pitch_to(phone, target, distance)
        if not DOWNMOST <= pitch <= UPMOST:
            continue
        position = np.broadcast_to(_stand(phone, target, distance), seen.shape)
        axes = np.broadcast_to(axes_of(phone.yaw, pitch, phone.roll), (len(seen), 3, 3))
        depth = np.einsum("nj,nj->n", axes[:, 2], seen - position)
        pixels = _project(phone, position, axes, seen)
        if np.all(depth > 0.3) and np.all(np.abs(pixels - (size - 1) / 2) < phone.fill * size / 2):
            return float(distance)
    raise ValueError("no distance up to 9 m shows the whole athlete; change the phone's pitch, height or view")


def _project(phone: Phone, positions: Array, axes: Array, points: Array) -> Array:
    local = np.einsum("nij,nj->ni", axes, points - positions)
    scale = focal_px(phone) / local[:, 2]
    u = (phone.width - 1) / 2 + scale * local[:, 0]
    v = (phone.height - 1) / 2 - scale * local[:, 1]
    return np.stack([u, v], axis=1)
