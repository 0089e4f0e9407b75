"""Results clip by clip, and value by value, for whoever looks for what went wrong."""

from collections.abc import Iterator, Sequence

from tests.bench.compare import Comparison, Result
from tests.bench.sheets import Sheet, number, percent
from tests.bench.targets import JOINTS, LINES, TIMES, Target, coverage


def clips(results: Sequence[Result]) -> Sheet:
    """One line per clip: counts, and the errors of each kind."""
    columns = ("clip", "whole reps", "holds", "times, s", "lines, deg", "joints, deg", "U95 holds", "")
    return Sheet("each clip: measured/true counts, median and largest errors", columns, tuple(map(_clip, results)))


def values(results: Sequence[Result]) -> Sheet:
    """Every value compared; a star where U95 does not hold the truth."""
    columns = ("clip", "where", "value", "truth", "measured", "error", "U95", "")
    every = (c for result in results for c in result.comparisons)
    return Sheet("every value", columns, tuple(map(_value, every)))


def faults(results: Sequence[Result]) -> Iterator[str]:
    """What does not match, in words."""
    for result in results:
        yield from (f"{result.clip}: {fault}" for fault in result.faults)
        if result.refusal:
            yield f"{result.clip}: refused: {result.refusal}"


def _clip(result: Result) -> tuple[str, ...]:
    held = coverage(result.comparisons)
    return (
        result.clip,
        f"{result.whole[1]}/{result.whole[0]}",
        f"{result.holds[1]}/{result.holds[0]}",
        *(_median_and_largest(target, result.comparisons) for target in (TIMES, LINES, JOINTS)),
        percent(held.share) if held else "",
        "refused" if result.refusal else "" if result.counted else "miscounted",
    )


def _median_and_largest(target: Target, comparisons: Sequence[Comparison]) -> str:
    errors = sorted(abs(c.error) for c in comparisons if target.applies(c) and c.value is not None)
    return f"{number(errors[len(errors) // 2])} / {number(errors[-1])}" if errors else ""


def _value(c: Comparison) -> tuple[str, ...]:
    outside = c.value is None or (c.U95 is not None and abs(c.error) > c.U95)
    error = None if c.value is None else c.error
    shown = ("none" if x is None else f"{x:.2f}" for x in (c.truth, c.value, error, c.U95))
    return c.clip, c.where, c.name, *shown, "*" if outside else ""
