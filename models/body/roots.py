"""Find where a function of one value crosses zero."""

from collections.abc import Callable

TOLERANCE = 1e-9
Function = Callable[[float], float]


def nearest_root(function: Function, start: float, *, step: float, reach: float) -> float | None:
    """The root nearest to `start` within `reach` to either side, or None.

    Looks outward in steps for a change of sign, then closes in (Brent 1973, by scipy). Two roots closer together than a
    step can be missed.
    """
    last = {1: function(start), -1: function(start)}
    for n in range(1, int(reach / step + 1e-9) + 1):
        for side in (1, -1):
            value = function(start + side * n * step)
            if value * last[side] <= 0:
                return close_in(function, start + side * (n - 1) * step, start + side * n * step)
            last[side] = value
    return None


def all_roots(function: Function, low: float, high: float, *, step: float) -> list[float]:
    """All roots between two ends that are further apart than a step."""
    ends = [low + n * step for n in range(int((high - low) / step + 1e-9) + 1)]
    values = [function(end) for end in ends]
    steps = zip(ends[:-1], ends[1:], values[:-1], values[1:], strict=True)
    return [close_in(function, a, b) for a, b, at_a, at_b in steps if at_a * at_b < 0 or at_a == 0]


def close_in(function: Function, a: float, b: float, tolerance: float = TOLERANCE) -> float:
    """The root between two ends at which the function has different signs."""
    from scipy.optimize import brentq  # takes longer to load than all the rest of the command line

    return float(brentq(function, min(a, b), max(a, b), xtol=tolerance))
