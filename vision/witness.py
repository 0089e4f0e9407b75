"""A second witness of each stroke: how far the body itself travels, which no bend of an arm or a leg enters.

Where the landmarks of a limb err, the driving angle sets out or arrives at another time than the trunk that it moves.
The truth then lies anywhere from one to the other, so their distance tells how far to trust an end.
"""

import numpy as np
from numpy.typing import NDArray

from vision.motion import Motion
from vision.skeleton import INDEX
from vision.strokes import Bounds, Travel, bounds

Array = NDArray[np.float64]


def body_path(motion: Motion, run: slice) -> Array:
    """How far the near shoulder and hip have travelled along their main common direction, pixels, (frames of the run,)."""
    trunk = motion.joints[run][:, [INDEX[f"{motion.near}_{name}"] for name in ("shoulder", "hip")]]
    flat = trunk.reshape(len(trunk), -1)
    away = flat - flat.mean(0)
    return np.asarray(away @ np.linalg.svd(away, full_matrices=False)[2][0])


def apart(own: Bounds, v: float, angle: Travel, body: Travel) -> tuple[float, float]:
    """Seconds between the ends of a stroke by its driving angle and by the body, whose v is the same share of its range."""
    if not body.range or not angle.range:
        return 0.0, 0.0
    other = bounds(body, v * body.range / angle.range)
    start, end = abs(other.start - own.start), abs(other.end - own.end)
    whole = float(angle.time[-1] - angle.time[0])
    return (whole if np.isnan(start) else start), (whole if np.isnan(end) else end)
