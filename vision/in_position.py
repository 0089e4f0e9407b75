"""How long a hold stays within limits on its angles."""

from collections.abc import Callable, Mapping
from typing import cast

import numpy as np
from numpy.typing import NDArray

from models.document import Hold
from models.limit import Limit
from models.movements.movement import Angle
from models.quantity import Measured, Q, Unmeasured
from vision.motion import Motion


def time_in_position(motion: Motion) -> Callable[[Hold, Mapping[str, Limit], float], Q]:
    """Give a function `(hold, limits, margin)` to the seconds of the hold within all limits.

    `limits` are degrees by the name of the angle. With a positive margin an angle must lie inside its limits by that
    many of its standard uncertainties (those of the hold's posture), with a negative one it may lie outside by as many.
    Between frames the angles are taken to follow straight lines. The uncertainty is that of the hold's two ends.
    """

    def seconds(hold: Hold, limits: Mapping[str, Limit], margin: float) -> Q:
        if isinstance(hold.still, Unmeasured):
            return hold.still
        inside = (motion.time >= hold.start) & (motion.time <= hold.end)
        time = motion.time[inside]
        room = np.full(len(time), np.inf)
        for name, limit in limits.items():
            known: Q | None = getattr(hold.posture, name)
            if not isinstance(known, Measured):
                return known or Unmeasured(reason=f"the {name} angle is not measured in this movement")
            angle = motion.angles[cast("Angle", name)][inside]
            room = np.minimum(room, _room(angle, limit) - margin * known.u)
        return Measured(value=time_above_zero(time, room), U95=hold.still.U95, unit="s")

    return seconds


def _room(angle: NDArray[np.float64], limit: Limit) -> NDArray[np.float64]:
    """Degrees (N,) that are left before a limit is broken; negative beyond it."""
    below = np.inf if limit.high is None else limit.high - angle
    above = np.inf if limit.low is None else angle - limit.low
    return np.minimum(below, above)


def time_above_zero(time: NDArray[np.float64], values: NDArray[np.float64]) -> float:
    """Seconds during which the straight lines between samples (N,) lie at or above zero."""
    if len(time) < 2:
        return 0.0
    first, last = values[:-1], values[1:]
    low, high = np.minimum(first, last), np.maximum(first, last)
    rise = np.where(high > low, high - low, 1.0)
    share = np.where(high > low, np.clip(high / rise, 0, 1), low >= 0)
    return float(np.sum(share * np.diff(time)))
