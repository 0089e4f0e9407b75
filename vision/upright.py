"""How a stored picture is turned, mirrored and stretched to what a viewer sees.

A display matrix maps stored to shown points: x' = a x + c y + e, y' = b x + d y + f, with the first six entries in
16.16 fixed point in the order a, b, u, c, d, v, e, f, w (ISO/IEC 14496-12, 8.3.2). Phones use quarter turns and mirrors.
"""

import struct
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, cast

import av
import cv2
import numpy as np
from av.buffer import Buffer
from numpy.typing import NDArray

Picture = NDArray[np.uint8]

_ASLANT: Final = 0.02
"""A matrix whose off-axis part exceeds this share of the on-axis part is no quarter turn."""


@dataclass(frozen=True)
class Turn:
    """Upright = the stored picture, transposed if `across`, then flipped left to right and top to bottom as said."""

    across: bool = False
    flip_x: bool = False
    flip_y: bool = False

    @property
    def degrees(self) -> int:
        """Clockwise turn that sets the stored picture upright (a mirrored one once its left and right are swapped)."""
        if self.across:
            return 90 if self.flip_x else 270
        return 180 if self.flip_y else 0

    @property
    def mirrored(self) -> bool:
        """Whether the stored picture is a mirror image of what the viewer sees."""
        return self.across ^ self.flip_x ^ self.flip_y

    def size(self, width: int, height: int) -> tuple[int, int]:
        """Upright (width, height) of a stored one; its own inverse."""
        return (height, width) if self.across else (width, height)

    def apply(self, image: Picture) -> Picture:
        """Turn a stored picture (H, W, 3) upright."""
        turned = cv2.transpose(image) if self.across else image
        if self.flip_x or self.flip_y:
            turned = cv2.flip(turned, -1 if self.flip_x and self.flip_y else int(self.flip_x))
        return np.asarray(turned, dtype=np.uint8)


def turn_of(frame: av.VideoFrame) -> Turn | None:
    """The turn that the frame's display matrix asks for, or None where it is not made of quarter turns and mirrors."""
    side_data = cast("Mapping[str, Buffer]", frame.side_data)  # PyAV's stub names it otherwise
    try:
        matrix = side_data["DISPLAYMATRIX"]
    except KeyError:
        return Turn()
    return turn_from_matrix(struct.unpack("<9i", bytes(matrix)))


def turn_from_matrix(matrix: tuple[int, ...]) -> Turn | None:
    """As `turn_of`, from the nine numbers themselves; an all-zero matrix, which some programs write, turns nothing."""
    a, b, _, c, d = matrix[:5]
    straight, across = min(abs(a), abs(d)), min(abs(b), abs(c))
    if straight == across == 0:
        return Turn() if a == b == c == d == 0 else None
    if straight > across:
        return Turn(False, a < 0, d < 0) if max(abs(b), abs(c)) < _ASLANT * straight else None
    return Turn(True, c < 0, b < 0) if max(abs(a), abs(d)) < _ASLANT * across else None
