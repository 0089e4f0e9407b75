"""How long a stroke stays in a part of its range that the movement tells apart, as the transition of a muscle-up."""

import numpy as np

from models.movements.movement import Movement
from models.quantity import Q, Unmeasured
from vision.in_position import time_above_zero
from vision.motion import Motion
from vision.uncertainty import angle_bias, quantity


def time_in_phases(motion: Motion, movement: Movement, start: float, end: float) -> dict[str, Q]:
    """Seconds, by the phase's name, that the driving angle spends in its band between `start` and `end` (s).

    The angle runs straight between frames. Each edge of the band is passed as early or late as the angle's doubt takes
    at the mean speed in the band.
    """
    reps = movement.reps
    if reps is None or not reps.phases:
        return {}
    if motion.view.oblique:
        return {name: Unmeasured(reason=motion.view.refusal) for name in reps.phases}
    inside = (motion.time >= start) & (motion.time <= end)
    time, value = motion.time[inside], motion.angles[reps.driving][inside]
    if len(time) < 2:
        return {name: Unmeasured(reason="fewer than two frames in this stroke") for name in reps.phases}
    bias = float(np.median(angle_bias(reps.driving, movement.line, motion.angles["elbow"][inside])))
    doubt = float(np.hypot(bias, np.median(motion.sd[reps.driving][inside])))
    found: dict[str, Q] = {}
    for name, phase in reps.phases.items():
        band = phase.band
        seconds = time_above_zero(time, np.minimum(value - band.low, band.high - value))
        u = doubt * seconds / (band.high - band.low)
        found[name] = quantity(seconds, "s", u, u)
    return found
