"""From where the lens sees the athlete, against the plane in which the movement is measured.

Yaw is how far the line of sight is turned about the vertical from square to that plane: the body's side (sagittal) plane
for most movements, its frontal plane for those done sideways, as the movement's file says. 0 shows the plane in its true
shape, 90 shows nothing of it.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from models.movements.entry import Plane
from vision.level import Level
from vision.propagate import Estimate
from vision.skeleton import INDEX, SIDES
from vision.yaw import yaw_of

Array = NDArray[np.float64]

OBLIQUE: Final = 35.0
"""Degrees beyond which a view no longer shows angles in the picture plane."""


@dataclass(frozen=True)
class View:
    """How the lens sees the athlete."""

    near: Side
    """The side toward the lens; in the frontal plane the upper one."""
    yaw: float
    """Degrees; positive when the lens stands further to the right of the picture than square to the plane."""
    u: float
    bearing: float = 0.0
    """Degrees by which the athlete lies to the right of the way the lens points."""
    plane: Plane = "sagittal"

    @property
    def lens(self) -> Estimate:
        """Turn of the lens itself from square to the plane: of the line of sight and the bearing together."""
        return Estimate(self.yaw + self.bearing, self.u)

    @property
    def oblique(self) -> bool:
        """Whether joint angles cannot be read in the picture plane."""
        return abs(self.yaw) > OBLIQUE

    @property
    def refusal(self) -> str:
        """Why a turned view shows no angle."""
        square, place = ("side", "the side") if self.plane == "sagittal" else ("front", "the front or the back")
        return f"the view is turned {abs(self.yaw):.0f} degrees from the athlete's {square}; film from {place}"


def view_of(joints: Array, world: Array, level: Level, plane: Plane = "sagittal") -> View:
    """The view over a clip.

    Args:
        joints: (frames, joints, 2) pixels.
        world: (frames, joints, 3) the landmarker's metres, x right, y down, z away.
        level: Which way is down; not turned to any athlete.
        plane: The body's plane that is measured.
    """
    rays = (level.rectified(joints) - level.centre) / level.focal
    turned = level.turned(world)
    across = _across(turned)
    if plane == "sagittal":
        near = near_side(turned)
        yaw, bearing = yaw_of(rays, near, _turn(across), level.walls)
    else:
        left, right = (np.median(turned[:, INDEX[f"{side}_wrist"], 1]) for side in SIDES)
        near = "left" if left < right else "right"
        trunk = np.mean([_between(turned, f"{side}_hip", f"{side}_shoulder") for side in SIDES], axis=0)
        yaw, bearing = yaw_of(rays, None, _turn(np.cross(across, trunk)), level.walls)
    return View(near, yaw.value, yaw.u, bearing, plane)


def near_side(world: Array) -> Side:
    """The side toward the lens of a body (frames, joints, 3) seen from the side, as the landmarker has it."""
    return "left" if np.median(_across(world)[:, 2]) < 0 else "right"


def _across(world: Array) -> Array:
    """(frames, 3) from the body's right to its left."""
    return np.mean([_between(world, f"right_{n}", f"left_{n}") for n in ("shoulder", "hip")], axis=0)


def _between(points: Array, start: str, end: str) -> Array:
    return points[:, INDEX[end]] - points[:, INDEX[start]]


def _turn(normal: Array) -> float:
    """Degrees about the vertical, -90 to 90, from the way the lens looks to a plane's normal (frames, 3), either way."""
    x, _, z = np.median(normal, axis=0)
    return float(np.degrees(np.arctan2(x * np.copysign(1.0, z), abs(z))))
