"""Landmarks and flow -> a smooth body over time, its angles and how sure they are."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from models.movements.movement import Angle, Movement
from vision.body_angles import FULL_ARM, TAIL, angles_in_depth, angles_in_picture
from vision.breadth import BREADTH
from vision.camera import PhoneMotion, carry
from vision.doubt import level_sd
from vision.flat import flattened
from vision.frontal import angles_in_frontal_plane
from vision.level import Level
from vision.mass import centre_of_mass
from vision.scale import standing_height
from vision.skeleton import INDEX
from vision.smooth import Body
from vision.uncertainty import placing_sd
from vision.view import View, view_of

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Motion:
    """The athlete over time. Points are in pixels of the clip's upright picture, steadied to the first frame."""

    time: Array
    """(frames,) seconds."""
    joints: Array
    """(frames, joints, 2), in the order of `vision.skeleton.JOINTS`."""
    joints_sd: Array
    """(frames, joints) posterior standard deviation per axis, pixels."""
    rays: Array
    """(frames, joints, 2) the same joints as the lens sees them when held level and, where the view allows, square to the
    athlete's plane: right and down per unit of distance."""
    world: Array
    """(frames, joints, 3) metres: the landmarker's own guess in depth, smoothed."""
    visibility: Array
    """(frames, joints) 0..1."""
    present: NDArray[np.bool_]
    """(frames,) whether the athlete was seen."""
    near: Side
    """The side toward the lens."""
    view: View
    from_first: Array
    """(frames, 2, 3) similarity from the steadied picture to each frame's own."""
    angles: dict[Angle, Array]
    """(frames,) degrees each."""
    sd: dict[Angle, Array]
    """(frames,) standard deviation of each angle's random part."""
    placing_sd: dict[Angle, Array]
    """(frames,) standard uncertainty of each angle by where the landmarks sit, as far as it shows in them."""
    level_sd: dict[Angle, Array]
    """(frames,) standard uncertainty of each angle by the doubt about level, lens and yaw, the same way in all frames."""
    centre_of_mass: Array
    """(frames, 2)."""
    down: Array
    """(2,) unit vector of gravity in the steadied picture."""

    @cached_property
    def height(self) -> float:
        """Standing height of the athlete, pixels, as far from the lens as they are."""
        return standing_height(self.joints[self.present], self.near)

    @property
    def floor(self) -> Array:
        """(2,) unit vector along the floor, toward the picture's right."""
        return np.array([self.down[1], -self.down[0]])

    def in_picture(self) -> Array:
        """(frames, joints, 2) joints where each frame shows them."""
        return carry(self.from_first[:, None], self.joints)


def read_motion(body: Body, movement: Movement, phone: PhoneMotion, level: Level, scale: float) -> Motion:
    """Read the angles that the design names off a body, and its centre of mass.

    Args:
        body: Joint tracks in the steadied picture.
        movement: Names the body line.
        phone: The phone's motion.
        level: Which way is down in the steadied picture.
        scale: Pixels of the picture looked at per pixel of the clip's.
    """
    view = view_of(body.joints[body.present], body.world[body.present], level.over(body.present), movement.plane)
    square = level if view.oblique else level.facing(view.lens)

    def read(seen: Level, breadth: Mapping[str, float] = BREADTH) -> dict[Angle, Array]:
        if view.oblique:
            return angles_in_depth(seen.turned(body.world), movement, view.near)
        upright = seen.rectified(body.joints)
        if movement.plane == "frontal":
            return angles_in_frontal_plane(upright, movement)
        flat = flattened(upright, body.present, seen, view.near, breadth)
        return angles_in_picture(flat, body.present, movement, view.near)

    return Motion(
        time=body.time,
        joints=body.joints / scale,
        joints_sd=body.joints_sd / scale,
        rays=(square.rectified(body.joints) - level.centre) / level.focal,
        world=body.world,
        visibility=body.visibility,
        present=body.present,
        near=view.near,
        view=view,
        from_first=_rescaled(phone.from_first(), scale),
        angles=read(square),
        sd=_angle_sd(body, body.joints_sd, movement, view.near),
        placing_sd=_angle_sd(body, placing_sd(body.scatter, body.disagreement), movement, view.near),
        level_sd=level_sd(read, square),
        centre_of_mass=centre_of_mass(body.joints) / scale,
        down=level.down(np.median(body.joints[body.present].mean(1), axis=0)),
    )


def _angle_sd(body: Body, joints_sd: Array, movement: Movement, near: Side) -> dict[Angle, Array]:
    """What standard deviations (frames, joints) of the joints make of each angle: those of its segments' directions."""

    def line(a: str, b: str) -> Array:
        start, stop = (INDEX[f"{near}_{name}"] for name in (a, b))
        spread = np.hypot(joints_sd[:, start], joints_sd[:, stop])
        length = np.linalg.norm(body.joints[:, stop] - body.joints[:, start], axis=-1)
        return np.degrees(spread / np.maximum(length, 1e-6))

    tail = TAIL[movement.line]
    ends = np.hypot(*(joints_sd[:, INDEX[f"{near}_{name}"]] for name in ("shoulder", "wrist")))
    arm = [body.joints[:, INDEX[f"{near}_{name}"]] for name in ("shoulder", "elbow", "wrist")]
    length = np.linalg.norm(np.diff(arm, axis=0), axis=-1).sum(0)
    return {
        "reach": 100 * ends / np.quantile(length, FULL_ARM),
        movement.tilt: line(tail, "shoulder"),
        "trunk": line("hip", "shoulder"),
        "legs": line("ankle", "hip"),
        "shoulder": np.hypot(line("hip", "shoulder"), line("shoulder", "elbow")),
        "elbow": np.hypot(line("shoulder", "elbow"), line("elbow", "wrist")),
        "hip": np.hypot(line("shoulder", "hip"), line("hip", "knee")),
        "knee": np.hypot(line("hip", "knee"), line("knee", "ankle")),
    }


def _rescaled(similarity: Array, scale: float) -> Array:
    """The same similarity between pictures that are 1 / scale as large."""
    moved = similarity.copy()
    moved[:, :, 2] /= scale
    return moved
