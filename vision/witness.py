"""A second witness of each stroke: how far the body itself travels, which no bend of an arm or a leg enters.

Where the landmarks of a limb err, the driving angle tells of another path of the trunk than the one that is seen, and the
ends of the two lie apart. The truth then lies anywhere between, so their distance tells how far to trust an end.
"""

import numpy as np
from numpy.typing import NDArray

from vision.motion import Motion
from vision.skeleton import INDEX
from vision.strokes import Travel, bounds

Array = NDArray[np.float64]


def body_path(motion: Motion, run: slice) -> Array:
    """How far the near shoulder and hip have travelled along their main common direction, pixels, (frames of the run,)."""
    trunk = motion.joints[run][:, [INDEX[f"{motion.near}_{name}"] for name in ("shoulder", "hip")]]
    flat = trunk.reshape(len(trunk), -1)
    away = flat - flat.mean(0)
    return np.asarray(away @ np.linalg.svd(away, full_matrices=False)[2][0])


def as_told(angle: Array, path: Array) -> Array:
    """The path (frames,) that the driving angle tells of: a cubic in the angle, fitted to the path over the whole stretch.

    Near lockout the body hardly moves while the elbow turns (law of cosines), so that ends by an angle and by a path lie
    apart where both are right; ends by two paths do not.
    """
    if not np.ptp(angle):
        return np.full_like(path, path.mean())
    # Asked for in full, the fit of a body that hardly moves is no warning: it is as good as it can be.
    fitted, _ = np.polynomial.Polynomial.fit(angle, path, 3, full=True)
    return np.asarray(fitted(angle))


def apart(v: float, angle: Travel, told: Travel, seen: Travel) -> tuple[float, float]:
    """Seconds between the ends of a stroke by the path that the driving angle tells of and by the path that is seen.

    Their v are the same share of their ranges as that of the driving angle.
    """
    if not angle.range or not told.range or not seen.range:
        return 0.0, 0.0
    one, other = (bounds(path, v * path.range / angle.range) for path in (told, seen))
    whole = float(angle.time[-1] - angle.time[0])
    start, end = abs(other.start - one.start), abs(other.end - one.end)
    return (whole if np.isnan(start) else start), (whole if np.isnan(end) else end)
