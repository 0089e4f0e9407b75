"""How sure a number is: random parts from the fusion, and what is known only by judgement (JCGM 100, type B)."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.movements.movement import Angle, Line
from models.quantity import Measured, Q, Unit, Unmeasured

COVERAGE: Final = 1.96

LINE_BIAS: Final = 0.9
"""Degrees, standard: landmarks against joints, for a line from shoulder to ankle or knee."""
HIP_LINE_BIAS: Final = 2.2
"""The same for a line that ends at the hip: it is shorter, and the hip's centre is the hardest to place."""
JOINT_BIAS: Final[dict[Angle, float]] = {"elbow": 3.0, "shoulder": 3.0, "hip": 3.5, "knee": 3.0}
PER_BEND: Final[dict[Angle, float]] = {"elbow": 0.05, "shoulder": 0.06}
"""Degrees, standard, and what each degree of elbow bend adds: a bent elbow may point out of the picture plane. Never under
3 degrees before joints of real people have been measured."""
EXTREME_HIP_BIAS: Final = 5.0
"""Degrees, standard, for the hip where it bends most or least: of many moments, that is one at which it errs most too."""

SCATTERED: Final = 0.5
"""Standard uncertainty of where a landmark sits on its joint, in RMS distances of single looks from the smooth track."""
DISAGREED: Final = 0.3
"""The same in distances between where two landmark models see the joint."""
MOST_U95: Final[dict[Unit, float]] = {"deg": 45.0, "s": 1.5}
MOST_SHARE: Final = 0.25
"""A value whose U95 is larger than this, and than this share of it, says nothing and is not stated."""
REACH_BIAS: Final = 3.5
"""% of the arm's length, standard: as for the span of a limb (`vision.limb.SPAN_SD`)."""


def angle_bias(name: Angle, line: Line, elbow: NDArray[np.float64]) -> NDArray[np.float64]:
    """Type B standard uncertainty of an angle (degrees; % for `reach`), from the spread between drawn bodies.

    Args:
        name: The angle.
        line: The movement's body line.
        elbow: How far the elbow is bent, degrees, any shape; the answer has the same.
    """
    if name in JOINT_BIAS:
        return np.hypot(JOINT_BIAS[name], PER_BEND.get(name, 0.0) * elbow)
    if name == "reach":
        return np.full_like(elbow, REACH_BIAS)
    to_the_hip = name in ("trunk", "legs") or line == "hips-shoulders"
    return np.full_like(elbow, HIP_LINE_BIAS if to_the_hip else LINE_BIAS)


def placing_sd(scatter: NDArray[np.float64], disagreement: NDArray[np.float64]) -> NDArray[np.float64]:
    """Standard uncertainty (frames, joints) of where landmarks sit, as far as it shows in them, pixels.

    Args:
        scatter: (joints,) RMS distance of single looks from the smooth track, pixels.
        disagreement: (frames, joints) how far from each other two landmark models see the joint, pixels.
    """
    return np.hypot(SCATTERED * scatter, DISAGREED * disagreement)


def quantity(value: float, unit: Unit, *parts: float) -> Measured:
    """A value whose standard uncertainty is the root sum of squares of independent parts."""
    return Measured(value=float(value), U95=float(COVERAGE * np.sqrt(np.sum(np.square(parts)))), unit=unit)


def stated(value: float, unit: Unit, *parts: float) -> Q:
    """The same for an angle or a time, but no value where the uncertainty is too large to be of use."""
    found = quantity(value, unit, *parts)
    useful = max(MOST_U95[unit], MOST_SHARE * abs(found.value))
    if useful >= found.U95:
        return found
    return Unmeasured(reason="the athlete is seen too badly here to tell it")
