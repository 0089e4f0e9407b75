"""Propagation of uncertainty: first order, by numerical derivatives (JCGM 100:2008, 5.1.2 and 5.1.3 note 2)."""

from collections.abc import Callable, Mapping
from math import hypot

Named = Mapping[str, float]


def propagate(function: Callable[[Named], Named], values: Named, doubts: Named) -> dict[str, float]:
    """Standard uncertainty of each result of a function of uncorrelated inputs.

    Each input is moved by its own standard uncertainty to either side; half the difference of the results is its share.

    Args:
        function: From named inputs to named results.
        values: All inputs.
        doubts: Standard uncertainties of those inputs that have any.

    Raises:
        Whatever `function` raises for an input that is one standard uncertainty away.
    """
    shares: dict[str, float] = {}
    for name, doubt in doubts.items():
        if doubt == 0:
            continue
        above = function({**values, name: values[name] + doubt})
        below = function({**values, name: values[name] - doubt})
        for result, value in above.items():
            shares[result] = hypot(shares.get(result, 0.0), (value - below[result]) / 2)
    return shares
