"""Pictures of a drawn person that the landmark model recognises, with every joint where it is known to be."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from models.document import Side
from tests.vision.bodies import Pose, figure
from vision.skeleton import INDEX, OTHER_SIDE

Array = NDArray[np.float64]
Picture = NDArray[np.uint8]

SKIN: Final = (205, 150, 120)
SHIRT: Final = (40, 70, 150)
TROUSERS: Final = (45, 45, 55)
SHOES: Final = (240, 240, 240)
HAIR: Final = (60, 40, 30)
SHIFT: Final = 4
"""Fractional bits of OpenCV's drawing coordinates."""


def _grain(width: int, height: int, sd: float, seed: int) -> Array:
    """Noise (height, width) with spots of a few pixels."""
    smooth = cv2.GaussianBlur(np.random.default_rng(seed).normal(size=(height, width)), (0, 0), 1.8)
    return np.asarray(smooth * sd / smooth.std())


GRAIN: Final = _grain(800, 800, 12.0, 1)
"""Of cloth and skin."""

STANDING: Final = Pose(5, 40, 60, 10, 5)
SQUATTING: Final = Pose(35, 80, 10, 95, 100)
UPSIDE_DOWN: Final = Pose(180, 175)


@dataclass(frozen=True)
class Person:
    """Joints (joints, 2) in pixels, and the side toward the lens."""

    joints: Array
    near: Side
    scale: float
    """Pixels per metre."""


def person(pose: Pose, middle: Sequence[float], scale: float = 270.0, near: Side = "left") -> Person:
    """A person in a pose, the middle of its box at `middle`."""
    joints = figure(np.zeros(1), pose, near, "ankle")[0] * scale
    return Person(joints - (joints.min(0) + joints.max(0)) / 2 + middle, near, scale)


def room(width: int = 640, height: int = 640, seed: int = 0) -> Picture:
    """A wall and a floor with grain."""
    picture = np.full((height, width, 3), (205, 200, 190), np.uint8)
    picture[int(0.81 * height) :] = (120, 100, 80)
    return np.clip(picture + _grain(width, height, 5.0, seed)[..., None], 0, 255).astype(np.uint8)


def draw(picture: Picture, who: Person) -> Picture:
    """The picture with a person in front of it."""
    out = picture.copy()
    for side in (OTHER_SIDE[who.near], who.near):
        _limb(out, who, (f"{side}_hip", f"{side}_knee"), TROUSERS, 0.126)
        _limb(out, who, (f"{side}_knee", f"{side}_ankle"), TROUSERS, 0.089)
        _limb(out, who, (f"{side}_ankle", f"{side}_toe"), SHOES, 0.059)
        _limb(out, who, (f"{side}_shoulder", f"{side}_hip"), SHIRT, 0.207)
        _limb(out, who, (f"{side}_shoulder", f"{side}_elbow"), SHIRT, 0.089)
        _limb(out, who, (f"{side}_elbow", f"{side}_wrist"), SKIN, 0.067)
        _limb(out, who, (f"{side}_wrist", f"{side}_index"), SKIN, 0.059)
    _limb(out, who, (f"{who.near}_shoulder", f"{who.near}_ear"), SKIN, 0.067)
    _head(out, who)
    return out


def _limb(out: Picture, who: Person, ends: tuple[str, str], colour: tuple[int, int, int], metres: float) -> None:
    """A limb in cloth or skin whose grain goes with it."""
    a, b = (who.joints[INDEX[name]] for name in ends)
    width = max(1, round(metres * who.scale))
    (x0, y0), (x1, y1) = (np.minimum(a, b) - width).astype(int), (np.maximum(a, b) + width).astype(int)
    part = out[max(y0, 0) : y1, max(x0, 0) : x1]
    a, b = a - [max(x0, 0), max(y0, 0)], b - [max(x0, 0), max(y0, 0)]
    mask = np.zeros(part.shape[:2], np.uint8)
    cv2.line(mask, _fixed(a), _fixed(b), 255, width, cv2.LINE_AA, SHIFT)
    along = (b - a) / np.linalg.norm(b - a)
    place = np.array([[along[0], -along[1], a[0]], [along[1], along[0], a[1]]])
    place[:, 2] -= place[:, :2] @ [GRAIN.shape[1] / 2, GRAIN.shape[0] / 2]
    grain = cv2.warpAffine(GRAIN, place, mask.shape[::-1], flags=cv2.INTER_CUBIC)
    cloth = np.clip(np.array(colour) + grain[..., None], 0, 255)
    share = mask[..., None] / 255
    part[:] = np.round(part * (1 - share) + cloth * share).astype(np.uint8)


def _head(out: Picture, who: Person) -> None:
    ear, nose = who.joints[INDEX[f"{who.near}_ear"]], who.joints[INDEX["nose"]]
    ahead = nose - ear
    _disc(out, ear, 0.096 * who.scale, SKIN)
    _disc(out, ear - 0.25 * ahead - [0, 0.02 * who.scale], 0.096 * who.scale, HAIR)
    _disc(out, nose, 0.02 * who.scale, SKIN)
    _disc(out, ear + 0.6 * ahead - [0, 0.02 * who.scale], 0.011 * who.scale, (30, 30, 30))


def _disc(out: Picture, centre: Array, radius: float, colour: tuple[int, int, int]) -> None:
    cv2.circle(out, _fixed(centre), round(radius * 2**SHIFT), colour, -1, cv2.LINE_AA, SHIFT)


def _fixed(point: Array) -> tuple[int, int]:
    x, y = np.round(point * 2**SHIFT).astype(int)
    return int(x), int(y)


def helped_handstand() -> tuple[Picture, Person, Person]:
    """A picture of somebody upside down and of a larger helper beside them; the helper, and the athlete."""
    helper, athlete = person(STANDING, (300, 330)), person(UPSIDE_DOWN, (480, 300), 250)
    return draw(draw(room(800, 640), helper), athlete), helper, athlete
