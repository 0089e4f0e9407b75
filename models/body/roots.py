"""Find where a function of one value crosses zero."""

from collections.abc import Callable

from scipy.optimize import brentq

TOLERANCE = 1e-10


def nearest_root(function: Callable[[float], float], start: float, *, step: float, reach: float) -> float | None:
    """The root nearest to `start` within `reach` to either side, or None.

    Looks outward in steps for a change of sign, then closes in (Brent 1973, by scipy). Two roots closer together than a
    step can be missed.
    """
    here = function(start)
    if here == 0:
        return start
    last = {1: here, -1: here}
    for n in range(1, int(reach / step + 1e-9) + 1):
        for side in (1, -1):
            value = function(start + side * n * step)
            if value * last[side] <= 0:
                ends = start + side * (n - 1) * step, start + side * n * step
                return float(brentq(function, min(ends), max(ends), xtol=TOLERANCE))
            last[side] = value
    return None
