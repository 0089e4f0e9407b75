"""How a picture is shown to the landmarker, other than as it is: with nobody else in it, mirrored, or turned."""

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.pose import GREY, Bodies, Landmarker, Picture
from vision.skeleton import INDEX, JOINTS, SIDES

Array = NDArray[np.float64]

ROOM: Final = 0.5
"""Room left on each side of a body, as a share of its larger side: more than it moves between two looks."""
MIRROR: Final = np.array(
    [
        INDEX[name.replace(*pair)] if name.startswith(pair[0]) else index
        for index, name in enumerate(JOINTS)
        for pair in [SIDES if name.startswith("left") else SIDES[::-1]]
    ]
)
"""Where each joint's partner of the other side stands."""


def look_alone(image: Picture, body: Array, find: Landmarker) -> Bodies:
    """Ask the landmarker about a picture in which all but the surroundings of `body` (joints, 2) is grey."""
    low, high = body.min(0), body.max(0)
    room = ROOM * (high - low).max()
    (left, top), (right, bottom) = np.maximum(low - room, 0).astype(int), np.ceil(high + room).astype(int)
    shown = np.full_like(image, GREY)
    shown[top:bottom, left:right] = image[top:bottom, left:right]
    return find(shown)


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
