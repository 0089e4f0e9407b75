"""Where an angle's error comes from, frame by frame: the view, or the landmark model.

`view` is what the picture plane shows of the true joints against the true angle: yaw, perspective, elbow flare, a rolled
phone. `landmarks` is what the model's points (in video mode) show against the true ones in the same picture.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from rich.table import Table

from models.body.figure import seam
from tests.bench.accuracy import followed
from tests.bench.truth import Truth, read_truth
from vision.body_angles import plain_angles
from vision.skeleton import JOINTS

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Source:
    """Median error (bias) and 95th percentile of the absolute error over a clip's frames, degrees."""

    clip: str
    angle: str
    view: tuple[float, float]
    landmarks: tuple[float, float]


def run(clips: Iterable[Path]) -> list[Source]:
    return [source for clip in clips for source in _of_clip(read_truth(clip), followed(clip))]


def show(sources: list[Source]) -> Table:
    title = "sources of angle errors, degrees: bias and 95th percentile of each clip's frames"
    table = Table("clip", "angle", "view bias", "view p95", "landmark bias", "landmark p95", title=title)
    for s in sources:
        table.add_row(s.clip, s.angle, *(f"{x:.1f}" for x in (*s.view, *s.landmarks)))
    for angle in sorted({s.angle for s in sources}):
        every = np.array([[*s.view, *s.landmarks] for s in sources if s.angle == angle])
        table.add_row("median of clips", angle, *(f"{x:.1f}" for x in np.median(every, axis=0)))
    return table


def _of_clip(truth: Truth, points: Array) -> list[Source]:
    drawn = np.stack([np.array(truth.frames["joints"][name]["px"]) for name in JOINTS], axis=1)
    movement = truth.as_measured()
    shown = plain_angles(drawn, movement, truth.near_side)
    seen = plain_angles(points, movement, truth.near_side)
    return [
        Source(
            truth.clip,
            name,
            _spread(shown[name], np.array(truth.frames["angles"][name])),
            _spread(seen[name], shown[name]),
        )
        for name in shown
    ]


def _spread(measured: Array, true: Array) -> tuple[float, float]:
    error = seam(measured - true)
    return float(np.nanmedian(error)), float(np.nanquantile(np.abs(error), 0.95))
