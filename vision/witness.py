"""A second witness of each stroke: how far the body itself travels, which no bend of an arm or a leg enters.

Where the landmarks of a limb err, the driving angle tells of another path of the trunk than the one that is seen. Where the
body travels before the angle says that a stroke begins, or after it says that it ends, the truth lies anywhere between.
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


def outside(v: float, angle: Travel, told: Travel, seen: Travel) -> tuple[float, float]:
    """Seconds for which the body is seen to travel before and after the stroke that the driving angle tells of.

    A body that sets out later than the angle, or rests earlier, tells nothing: near lockout a limb may turn while the
    trunk hardly moves, or sways by more than that. The v of both paths are the same share of their ranges as that of the
    driving angle.
    """
    if not angle.range or not told.range or not seen.range:
        return 0.0, 0.0
    one, other = (bounds(path, v * path.range / angle.range) for path in (told, seen))
    whole = float(angle.time[-1] - angle.time[0])
    before, after = one.start - other.start, other.end - one.end
    return (whole if np.isnan(before) else max(before, 0.0)), (whole if np.isnan(after) else max(after, 0.0))
