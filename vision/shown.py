"""How a picture is shown to the landmarker, other than as it is: with nobody else in it, mirrored, or turned."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.pose import GREY, Bodies, Landmarker, Picture, extent
from vision.skeleton import INDEX, JOINTS, SEGMENTS, SIDES

Array = NDArray[np.float64]

ROOM: Final = 0.5
"""Room left on each side of a body, as a share of its larger side: more than it moves between two looks."""
THICK: Final = 0.08
"""How thick a limb is painted over, as a share of the body's extent: no thicker, so that who is behind it stays."""
VISIBLE: Final = 0.5
"""A joint less visible than this may be somebody else's."""
PAINTED: Final = (
    *((f"{side}_{a}", f"{side}_{b}") for side in SIDES for a, b in SEGMENTS if a != "ear"),
    ("left_shoulder", "right_shoulder", "right_hip", "left_hip"),
    ("nose", "left_ear", "right_ear"),
)
"""Lines and areas that make a body."""
MIRROR: Final = np.array(
    [
        INDEX[name.replace(*pair)] if name.startswith(pair[0]) else index
        for index, name in enumerate(JOINTS)
        for pair in [SIDES if name.startswith("left") else SIDES[::-1]]
    ]
)
"""Where each joint's partner of the other side stands."""


@dataclass(frozen=True)
class Box:
    """A part of a picture, in its pixels; `right` and `bottom` are the first outside."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def corner(self) -> NDArray[np.int_]:
        """Where (x, y) it begins in the picture."""
        return np.array([self.left, self.top])

    def of(self, image: Picture) -> Picture:
        """The part of a picture that lies in it."""
        return image[self.top : self.bottom, self.left : self.right]


def surroundings(body: Array, room: float) -> Box:
    """The box round a body (joints, 2) with so much room on each side, as a share of its larger side."""
    low, high = body.min(0), body.max(0)
    space = room * (high - low).max()
    left, top = np.maximum(low - space, 0).astype(int)
    right, bottom = np.ceil(high + space).astype(int)
    return Box(int(left), int(top), int(right), int(bottom))


def look_alone(image: Picture, body: Array, find: Landmarker) -> Bodies:
    """Ask the landmarker about a picture in which all but the surroundings of `body` (joints, 2) is grey."""
    box = surroundings(body, ROOM)
    shown = np.full_like(image, GREY)
    box.of(shown)[:] = box.of(image)
    return find(shown)


def without(image: Picture, bodies: Bodies) -> Picture:
    """The picture with some bodies painted over in grey, as far as they are visible, so that who is beside them shows."""
    shown = image.copy()
    for body, visibility, size in zip(bodies.points, bodies.visibility, extent(bodies.points), strict=True):
        for names in PAINTED:
            at = [INDEX[name] for name in names]
            if visibility[at].min() >= VISIBLE:
                shape = body[at].round().astype(np.int32)
                cv2.fillPoly(shown, [shape], (GREY, GREY, GREY))
                cv2.polylines(shown, [shape], True, (GREY, GREY, GREY), max(1, round(THICK * size)))
    return shown


def look_mirrored(image: Picture, find: Landmarker) -> Bodies:
    """Ask the landmarker about the picture's mirror image, in which left is right."""
    found = find(np.asarray(cv2.flip(image, 1), dtype=np.uint8))
    points = found.points * [-1, 1] + [image.shape[1] - 1, 0]
    return swapped(Bodies(points, found.world * [-1, 1, 1], found.visibility))


def look_turned(image: Picture, quarters: int, find: Landmarker) -> Bodies:
    """Ask the landmarker about the picture turned counterclockwise by quarters: it was taught on people who stand."""
    shown = np.ascontiguousarray(np.rot90(image, quarters))
    found = find(shown)
    back = np.linalg.matrix_power(np.array([[0, 1], [-1, 0]]), quarters)
    middle, there = ((np.array(each.shape[1::-1]) - 1) / 2 for each in (image, shown))
    world = np.concatenate([found.world[..., :2] @ back, found.world[..., 2:]], axis=-1)
    return Bodies((found.points - there) @ back + middle, world, found.visibility)


def swapped(bodies: Bodies) -> Bodies:
    """The same bodies with left and right exchanged."""
    return Bodies(bodies.points[:, MIRROR], bodies.world[:, MIRROR], bodies.visibility[:, MIRROR])
