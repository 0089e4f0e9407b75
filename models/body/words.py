"""A demand in a sentence that a coach can read."""

from models.body.demand import Demand
from models.quantity import Measured, Q

VERB = {"raise": "", "hold": ", held", "lower": ", lowered only"}


def in_words(demand: Demand) -> str:
    """What limits, and the share of the full version: "61 ± 4 % of body weight at the hands, 91 ± 3 % of the full version".

    Without a number, the reason.
    """
    if not isinstance(demand.limiting, Measured):
        return f"No number: {demand.limiting.reason}"
    where = "at the hands" if demand.limit == "hands" else f"at the {demand.limit}"
    ratio = f", {_told(demand.ratio)} of the full version" if isinstance(demand.ratio, Measured) else ""
    return f"{_told(demand.limiting)} {where}{ratio}{VERB[demand.mode]}"


def _told(value: Q) -> str:
    assert isinstance(value, Measured)
    return f"{value.value:.0f} ± {value.U95:.0f} {value.unit}"
