"""The part of a picture round a body, as the landmarker is shown it: more pixels on the body, nobody else in view."""

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from vision.pose import Bodies, Landmarker, Picture
from vision.skeleton import INDEX, JOINTS, SIDES

Array = NDArray[np.float64]

LARGEST: Final = 512
"""Pixels along a cut-out's side; the landmarker itself works on 256."""
MIRROR: Final = np.array(
    [
        INDEX[name.replace(*pair)] if name.startswith(pair[0]) else index
        for index, name in enumerate(JOINTS)
        for pair in [SIDES if name.startswith("left") else SIDES[::-1]]
    ]
)
"""Where each joint's partner of the other side stands."""


@dataclass(frozen=True)
class Cut:
    """How a body is cut out: room left round it as a share of its size, turned by so many degrees, mirrored."""

    margin: float
    turn: float = 0.0
    mirrored: bool = False


def look_close(image: Picture, body: Array, cut: Cut, find: Landmarker) -> Bodies:
    """Ask the landmarker about the surroundings of `body` (joints, 2) alone; the answer is in pixels of the picture."""
    centre = (body.min(0) + body.max(0)) / 2
    size = float(2 * np.abs(body - centre).max() * (1 + 2 * cut.margin))
    side = int(np.clip(size, 32, LARGEST))
    there = cv2.getRotationMatrix2D((centre[0], centre[1]), cut.turn, side / size)
    there[:, 2] += (side - 1) / 2 - centre
    shown = np.asarray(
        cv2.warpAffine(image, there, (side, side), flags=cv2.INTER_AREA, borderValue=(127, 127, 127)), dtype=np.uint8
    )
    found = find(np.ascontiguousarray(shown[:, ::-1])) if cut.mirrored else find(shown)
    if cut.mirrored:
        found = _mirrored(found, side)
    back = cv2.invertAffineTransform(there)
    world = found.world.copy()
    world[..., :2] = found.world[..., :2] @ (back[:, :2] * side / size).T
    return Bodies(found.points @ back[:, :2].T + back[:, 2], world, found.visibility)


def look_upside_down(image: Picture, find: Landmarker) -> Bodies:
    """Ask the landmarker about the whole picture turned by half: it was taught on people who stand."""
    found = find(np.ascontiguousarray(image[::-1, ::-1]))
    corner = np.array(image.shape[1::-1]) - 1
    return Bodies(corner - found.points, found.world * [-1, -1, 1], found.visibility)


def swapped(bodies: Bodies) -> Bodies:
    """The same bodies with left and right exchanged."""
    return Bodies(bodies.points[:, MIRROR], bodies.world[:, MIRROR], bodies.visibility[:, MIRROR])


def _mirrored(bodies: Bodies, side: int) -> Bodies:
    """Bodies of a mirrored picture, as the picture itself shows them."""
    there = Bodies(bodies.points * [-1, 1] + [side - 1, 0], bodies.world * [-1, 1, 1], bodies.visibility)
    return swapped(there)
