"""Sets: which reps and holds belong together, and a set at a glance."""

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from typing import Final, Protocol, TypeVar

import numpy as np

from models.document import Hold, Rep, Summary, Trend
from models.movements.movement import Movement
from models.quantity import Measured, Q, Unit, Unmeasured
from vision.uncertainty import quantity

NEW_SET: Final = 10.0
"""Seconds without a rep that start a new set."""


class Span(Protocol):
    """Anything with a start and an end on the clip's clock."""

    @property
    def start(self) -> float:  # noqa: D102
        ...
    @property
    def end(self) -> float:  # noqa: D102
        ...


S = TypeVar("S", bound=Span)


def split(spans: Sequence[S]) -> list[list[S]]:
    """Spans in the order of time, parted where nothing happens for 10 s."""
    sets: list[list[S]] = []
    for span in spans:
        if sets and span.start - sets[-1][-1].end < NEW_SET:
            sets[-1].append(span)
        else:
            sets.append([span])
    return sets


def summarise(movement: Movement, reps: Sequence[Rep], holds: Sequence[Hold]) -> Summary:
    """Counts by status and the trends over the set."""
    counts = Counter(rep.status for rep in reps)
    lowering = [_value(rep.lowering.duration) if rep.lowering else None for rep in reps]
    ranges = [_range(movement, rep) for rep in reps]
    raising = [_value(rep.raising.duration) if rep.raising else None for rep in reps]
    percent = movement.reps is not None and movement.reps.driving == "reach"
    speed = [r / d if r is not None and d else None for r, d in zip(ranges, raising, strict=True)]
    return Summary(
        whole=counts["whole"],
        short=counts["short"],
        failed=counts["failed"],
        cut_off=counts["cut_off"],
        lowering=_trend(lowering, "s"),
        range=_trend(ranges, "%" if percent else "deg"),
        raising_speed=_trend(speed, "%/s" if percent else "deg/s"),
        longest_rest=_longest_rest(reps or holds),
    )


def _range(movement: Movement, rep: Rep) -> float | None:
    """Degrees (% for `reach`) of the driving angle between the rep's two ends."""
    if movement.reps is None:
        return None
    ends = [_value(getattr(end, movement.reps.driving)) for end in (rep.straight, rep.bent)]
    return None if ends[0] is None or ends[1] is None else abs(ends[1] - ends[0])


def _value(q: Q) -> float | None:
    return q.value if isinstance(q, Measured) else None


def _trend(values: Sequence[float | None], unit: Unit) -> Trend:
    """Values by rep and their least-squares slope per rep, with the slope's own standard error."""
    known = [(n, value) for n, value in enumerate(values, start=1) if value is not None]
    if len(known) < 3:
        return Trend(by_rep=tuple(values), slope=Unmeasured(reason="fewer than three reps have a value"))
    n, value = np.array(known, dtype=float).T
    slope, level = np.polyfit(n, value, 1)
    residual = value - slope * n - level
    error = np.sqrt(np.sum(residual**2) / (len(n) - 2) / np.sum((n - n.mean()) ** 2))
    return Trend(by_rep=tuple(values), slope=quantity(float(slope), unit, float(error)))


def _longest_rest(spans: Sequence[Span]) -> Q:
    if len(spans) < 2:
        return Unmeasured(reason="a single rep or hold has no rest inside it")
    rests = [after.start - before.end for before, after in pairwise(spans)]
    return quantity(max(0.0, *rests), "s", 0.05)
