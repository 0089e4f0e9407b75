"""Uncertainty carried through any function, by small steps of each input (JCGM 100:2008, 5.1.3, note 2)."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Estimate(NamedTuple):
    """A value and its standard uncertainty."""

    value: float
    u: float


def propagate(function: Callable[[Array], float], value: Array, u: Array) -> Estimate:
    """Value of a function of independent inputs, and its standard uncertainty.

    Args:
        function: Takes the inputs (n,).
        value: (n,) the inputs' values.
        u: (n,) their standard uncertainties.
    """
    steps = np.diag(u)
    parts = [(function(value + step) - function(value - step)) / 2 for step in steps[u > 0]]
    return Estimate(function(value), float(np.linalg.norm(parts)) if parts else 0.0)
