"""A stick figure seen through a lens: near things large, the level of the lens in the middle, the phone pitched."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Side
from models.movements.movement import Movement
from tests.vision.bodies import SIZE, in_space, landmarks, still_phone, turned
from vision.level import Level
from vision.motion import Motion, read_motion
from vision.skeleton import INDEX, JOINTS
from vision.smooth import Body

Array = NDArray[np.float64]

FOCAL: Final = 0.8 * max(SIZE)
CENTRE: Final = (np.array(SIZE) - 1) / 2


@dataclass(frozen=True)
class Lens:
    """Where the phone stands: metres from the athlete's middle plane and over the ground, and degrees that it looks up."""

    distance: float = 4.0
    height: float = 1.0
    pitch: float = 0.0

    @property
    def level(self) -> Level:
        turn = np.radians(self.pitch)
        gravity = np.array([0.0, np.cos(turn), -np.sin(turn)])
        return Level(gravity, FOCAL, CENTRE, roll_u=0.3, pitch_u=0.3, source="scene", focal_u=0.12)

    def project(self, space: Array) -> Array:
        """Pixels (..., 2) of points (..., 3): metres to the right, down from the ground's level, away from the plane."""
        seen = space + np.array([0.0, self.height, self.distance])
        turn = np.radians(self.pitch)
        cosine, sine = np.cos(turn), np.sin(turn)
        down = cosine * seen[..., 1] + sine * seen[..., 2]
        away = -sine * seen[..., 1] + cosine * seen[..., 2]
        return np.asarray(np.stack([seen[..., 0], down], axis=-1) / away[..., None] * FOCAL + CENTRE)


def filmed(
    time: Array,
    joints: Array,
    movement: Movement,
    near: Side = "left",
    lens: Lens = Lens(),
    *,
    hidden: tuple[str, ...] = (),
    yaw: float = 0.0,
) -> Motion:
    """What is read off a figure (frames, joints, 2) in metres over the ground through a lens."""
    body = through(time, joints, near, lens, hidden=hidden, yaw=yaw)
    return read_motion(body, movement, still_phone(len(time)), lens.level, 1.0)


def through(
    time: Array,
    joints: Array,
    near: Side = "left",
    lens: Lens = Lens(),
    *,
    hidden: tuple[str, ...] = (),
    yaw: float = 0.0,
) -> Body:
    """The figure as a lens sees it that is turned by `yaw` against its side, and points at where the figure stands."""
    seen = lens.project(turned(in_space(landmarks(joints, near), near), yaw))
    visibility = np.ones((len(time), len(JOINTS)))
    visibility[:, [INDEX[name] for name in hidden]] = 0.2
    # The landmarker looks along the ray to the body, wherever the lens points.
    bearing = np.degrees(np.arctan(np.median((lens.level.rectified(seen)[..., 0] - CENTRE[0]) / FOCAL)))
    return Body(
        time=time,
        joints=seen,
        joints_sd=np.full((len(time), len(JOINTS)), 1.0),
        scatter=np.zeros(len(JOINTS)),
        world=turned(in_space(joints, near), yaw - bearing) @ _pitched(lens.pitch),
        visibility=visibility,
        disagreement=np.zeros_like(visibility),
        present=np.ones(len(time), bool),
    )


def _pitched(pitch: float) -> Array:
    """Turn (3, 3), to be applied from the right, from level axes to those of a lens that looks up."""
    turn = np.radians(pitch)
    return np.array([[1, 0, 0], [0, np.cos(turn), -np.sin(turn)], [0, np.sin(turn), np.cos(turn)]])
