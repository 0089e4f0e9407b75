"""How sure an angle is in each frame, as drawings show it."""

import numpy as np
from numpy.typing import NDArray

from models.movements.movement import Angle
from models.quantity import Measured
from vision.measure import Measurement
from vision.posture import LINES
from vision.uncertainty import COVERAGE, angle_bias


def angle_u95(measurement: Measurement, angle: Angle) -> NDArray[np.float64]:
    """U95 (frames,) of an angle in degrees, from the same parts as the document's: random, bias and, for lines, level."""
    motion, roll = measurement.motion, measurement.document.camera.roll
    level = roll.u if isinstance(roll, Measured) and angle in LINES else 0.0
    bias = angle_bias(angle, measurement.movement.line, motion.angles["elbow"])
    return np.asarray(COVERAGE * np.sqrt(motion.sd[angle] ** 2 + bias**2 + level**2))
