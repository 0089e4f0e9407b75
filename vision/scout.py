"""Where in the pictures a small athlete is: a few pictures of the clip looked at window by window.

The landmark model shrinks every picture to a few hundred pixels before it looks for people, so that it misses those who fill
little of it; in a window they fill more.
"""

from collections.abc import Iterator
from itertools import product
from typing import Final

import numpy as np

from vision.clip import Clip
from vision.looks import LONGER_SIDE
from vision.pose import Bodies, Weights, join, landmarker
from vision.shown import Box

PICTURES: Final = 5
"""Pictures looked at, spread evenly over the clip."""
WINDOW: Final = 0.35
"""Side of a window as a share of the picture's longer side: the smallest athlete who is measured fills a third of it.
Neighbours overlap by half."""


def scout(clip: Clip, weights: Weights) -> Bodies:
    """Everybody in windows of a few pictures of the clip, in pixels of the pictures looked at; some of them several times."""
    frames = clip.frames(max_side=LONGER_SIDE, apart=float(clip.times[-1]) / PICTURES)
    with landmarker(weights, most=2) as find:
        seen = [
            find(window.of(frame.image)).moved(window.corner)
            for frame in frames
            for window in windows(frame.image.shape[1], frame.image.shape[0])
        ]
    return join(*seen)


def windows(width: int, height: int) -> Iterator[Box]:
    """Overlapping windows that cover a picture."""
    side = int(WINDOW * max(width, height))
    for left, top in product(_starts(width, side), _starts(height, side)):
        yield Box(left, top, min(left + side, width), min(top + side, height))


def _starts(length: int, side: int) -> list[int]:
    """Where windows of a side begin that cover a length, each half a side or less after the one before."""
    beyond = max(length - side, 0)
    return [int(at) for at in np.linspace(0, beyond, int(np.ceil(2 * beyond / side)) + 1)]
