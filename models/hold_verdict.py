"""Verdict of one hold."""

from collections.abc import Callable, Mapping
from statistics import NormalDist

from models.advice import advised
from models.checks import check, checks_of
from models.conformity import combine, doubt, mean
from models.document import Check, Hold
from models.limit import Limit
from models.prescription import Prescription
from models.quantity import Measured, Q

TimeInPosition = Callable[[Hold, Mapping[str, Limit], float], Q]
"""`(hold, limits, margin)` to the seconds of the hold during which each limited angle (`hip`, `trunk` ...) lies inside
its limits by at least `margin` of its own standard uncertainties; with a negative margin it may lie outside by that."""

CASES = 100
MARGINS = tuple(NormalDist().inv_cdf((case + 0.5) / CASES) for case in range(CASES))
"""Equally probable errors of the angles, in standard uncertainties."""


def judge_hold(hold: Hold, prescription: Prescription, in_position: TimeInPosition | None) -> Hold:
    """Add checks and a verdict to a hold.

    The dose is checked against the time in position. Where posture limits are written it comes from `in_position`, and
    the medians over the hold are then shown without a verdict of their own: part of a hold may be enough. Without
    `in_position` the time held still stands in for it, and the medians must respect the limits.
    """
    limits = prescription.hold_limits()
    dose = limits.pop("in_position")
    others = checks_of(hold, limits)
    posture = {name.removeprefix("posture."): limit for name, limit in limits.items() if name.startswith("posture.")}
    if posture and in_position is not None:
        first = _in_position(hold, dose, posture, in_position)
        others = tuple(_shown_only(each) if each.name.startswith("posture.") else each for each in others)
    else:
        first = check("in_position", hold.still, dose, called="Time held still")
    checks = advised((first, *others), hold, prescription)
    verdict = combine((each.p, each.verdict) for each in checks if each.verdict is not None)
    return hold.model_copy(update={"checks": checks, "verdict": verdict})


def _in_position(hold: Hold, dose: Limit, posture: Mapping[str, Limit], in_position: TimeInPosition) -> Check:
    """Rule on the time in position over the errors that the angles may have, taken to err together."""
    times = [in_position(hold, posture, margin) for margin in MARGINS]
    known = [time for time in times if isinstance(time, Measured)]
    doubts = mean([doubt(time, dose) for time in known]) if len(known) == len(times) else None
    return check("in_position", in_position(hold, posture, 0.0), dose, known=doubts)


def _shown_only(each: Check) -> Check:
    return each.model_copy(update={"verdict": None})
