"""Lines, marks and words that read on bright and on dark pictures: a light stroke inside a dark one.

Points are in pixels of the picture drawn on, x right and y down, pixel centres at integers; pictures are (H, W, 3) RGB
and are drawn on in place.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from textwrap import wrap
from typing import Final

import cv2
import matplotlib as mpl
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

Array = NDArray[np.float64]
Picture = NDArray[np.uint8]
Colour = tuple[int, int, int]

DARK: Final[Colour] = (22, 30, 38)
LIGHT: Final[Colour] = (246, 244, 238)
BLUE: Final[Colour] = (150, 208, 236)

LETTER: Final = 0.58
"""Mean width of a letter over the size of the text, with a little air."""
_SUBPIXEL: Final = 4
"""OpenCV takes points in fixed point with this many binary places."""


@dataclass(frozen=True)
class Pen:
    """Sizes in pixels, chosen for the picture's size."""

    line: int
    outline: int
    mark: float
    text: int

    @classmethod
    def for_picture(cls, width: int, height: int) -> "Pen":
        """Sizes that look alike on a picture of any size and either way up."""
        side = (width * height) ** 0.5
        line = max(2, round(side / 320))
        return cls(line, max(2, round(line / 2)), max(3.0, side / 220), max(12, round(side / 34)))


def draw_lines(image: Picture, lines: Sequence[tuple[Array, Colour, float]], pen: Pen) -> None:
    """Draw polylines (points (n, 2), colour, width in lines of the pen), outlines below all of them."""
    shown = [(_fixed(points), colour, max(1, round(width * pen.line))) for points, colour, width in lines]
    for points, _, width in shown:
        cv2.polylines(image, [points], False, DARK, width + 2 * pen.outline, cv2.LINE_AA, _SUBPIXEL)
    for points, colour, width in shown:
        cv2.polylines(image, [points], False, colour, width, cv2.LINE_AA, _SUBPIXEL)


def draw_marks(image: Picture, points: Array, pen: Pen) -> None:
    """Draw a small disc on each of the points (n, 2)."""
    for x, y in _fixed(points):
        for radius, colour in ((pen.mark + pen.outline, DARK), (pen.mark, LIGHT)):
            cv2.circle(image, (int(x), int(y)), round(radius * 2**_SUBPIXEL), colour, -1, cv2.LINE_AA, _SUBPIXEL)


def write_words(image: Picture, lines: Sequence[str], corner: tuple[float, float], pen: Pen) -> None:
    """Write lines of text, the first one's top left at `corner` (x, y), folded where they are wider than the picture."""
    left, top = round(corner[0]), round(corner[1])
    step = round(1.3 * pen.text)
    letters = int((image.shape[1] - 2 * left) / (LETTER * pen.text))
    folded = [part for words in lines for part in wrap(words, max(letters, 8))]
    region = image[top : top + step * len(folded) + 2 * pen.outline, left:]
    if not folded or not region.size:
        return
    canvas = Image.fromarray(region)
    draw = ImageDraw.Draw(canvas)
    for row, words in enumerate(folded):
        stroke = max(2, round(pen.text / 9))
        draw.text((stroke, row * step), words, LIGHT, _font(pen.text), stroke_width=stroke, stroke_fill=DARK)
    region[:] = np.asarray(canvas)


@cache
def _font(size: int) -> ImageFont.FreeTypeFont:
    """DejaVu Sans, which matplotlib brings along."""
    return ImageFont.truetype(Path(mpl.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf", size)


def _fixed(points: Array) -> NDArray[np.int32]:
    return np.round(np.clip(points, -1e5, 1e5) * 2**_SUBPIXEL).astype(np.int32)
