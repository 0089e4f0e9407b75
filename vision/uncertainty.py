"""How sure a number is: random parts from the fusion, and what is known only by judgement (JCGM 100, type B)."""

from typing import Final

import numpy as np

from models.quantity import Measured, Unit

COVERAGE: Final = 1.96

LINE_BIAS: Final = 0.7
"""Degrees, standard: landmarks of real people against their joints, for a body line."""
JOINT_BIAS: Final = 3.0
"""Degrees, standard: the same for elbow, hip, knee and shoulder."""


def quantity(value: float, unit: Unit, *parts: float) -> Measured:
    """A value whose standard uncertainty is the root sum of squares of independent parts."""
    return Measured(value=float(value), U95=float(COVERAGE * np.sqrt(np.sum(np.square(parts)))), unit=unit)
