"""Propagation of uncertainty by numerical derivatives (JCGM 100:2008, 5.1.2 with its note, and 5.1.3 note 2)."""

from collections.abc import Callable, Mapping
from math import hypot, sqrt

Named = Mapping[str, float]


def propagate(function: Callable[[Named], Named], values: Named, doubts: Named) -> dict[str, float]:
    """Standard uncertainty of each result of a function of uncorrelated inputs.

    Each input is moved by its own standard uncertainty to either side. Half the difference of the results is its first-
    order share; how much both sides differ from the middle gives the second-order share of the same input, which is all
    there is where a result stands at its largest (the moment of a level lever).

    Args:
        function: From named inputs to named results.
        values: All inputs.
        doubts: Standard uncertainties of those inputs that have any.

    Raises:
        Whatever `function` raises for an input that is one standard uncertainty away.
    """
    middle = function(values)
    shares = dict.fromkeys(middle, 0.0)
    for name, doubt in doubts.items():
        if doubt == 0:
            continue
        above = function({**values, name: values[name] + doubt})
        below = function({**values, name: values[name] - doubt})
        for result, value in middle.items():
            slope = (above[result] - below[result]) / 2
            bend = (above[result] + below[result] - 2 * value) / sqrt(2)
            shares[result] = hypot(shares[result], slope, bend)
    return shares
