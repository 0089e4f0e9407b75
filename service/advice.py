"""What to change in a set, a line for each kind of missed check."""

from collections import defaultdict
from collections.abc import Iterator

from models.document import Check, Hold, Rep, Set
from models.quantity import Measured
from service.words import numbers

Found = tuple[Rep | Hold, Check]


def advice_lines(each: Set) -> Iterator[str]:
    """One line for each check that was missed, told of the rep or hold that missed it most; then what to mend first."""
    entries: tuple[Rep | Hold, ...] = (*each.reps, *each.holds)
    missed: dict[str, list[Found]] = defaultdict(list)
    for entry in entries:
        for check in entry.checks or ():
            if check.advice:
                missed[check.name].append((entry, check))
    for found in missed.values():
        yield _line(found)
    for check in each.checks or ():
        if check.advice and len(missed) != 1:
            yield f"To change in the set: {check.advice}"


def _line(found: list[Found]) -> str:
    entry, worst = max(found, key=lambda pair: _passed(pair[1]))
    kind = "rep" if isinstance(entry, Rep) else "hold"
    if len(found) == 1:
        return f"To change in {kind} {entry.n}: {worst.advice}"
    which = numbers(one.n for one, _ in found)
    return f"To change in {kind}s {which} (the numbers are those of {kind} {entry.n}): {worst.advice}"


def _passed(check: Check) -> float:
    """How far the value lies past its limits, in the limit's unit; 0 where there is no value."""
    if not isinstance(check.measured, Measured):
        return 0.0
    below = 0.0 if check.low is None else check.low - check.measured.value
    above = 0.0 if check.high is None else check.measured.value - check.high
    return max(below, above)
