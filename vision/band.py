"""How sure an angle is in each frame, as drawings show it."""

import numpy as np
from numpy.typing import NDArray

from models.movements.movement import Angle
from vision.measure import Measurement
from vision.uncertainty import COVERAGE, angle_bias


def angle_u95(measurement: Measurement, angle: Angle) -> NDArray[np.float64]:
    """U95 (frames,) of an angle in degrees, from the same parts as the document's: random, bias and level."""
    motion = measurement.motion
    bias = angle_bias(angle, measurement.movement.line, motion.angles["elbow"])
    parts = (motion.sd[angle], bias, motion.placing_sd[angle], motion.level_sd[angle])
    return np.asarray(COVERAGE * np.sqrt(np.sum(np.square(parts), axis=0)))
