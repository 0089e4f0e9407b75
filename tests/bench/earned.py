"""What each part of the program earns: errors without it against errors with it, value by value."""

from collections.abc import Mapping, Sequence

import numpy as np

from models.quantity import Frozen
from tests.bench import clusters
from tests.bench.compare import Comparison, Result
from tests.bench.targets import EVERYTHING, JOINTS, SWAY, TIMES, Coverage, Target, coverage
from tests.bench.verdicts import tally

GROUPS = (
    TIMES,
    Target("body line", "deg", "", lambda c: c.name.rsplit(".", 1)[-1] in ("body", "lean")),
    Target("trunk", "deg", "", lambda c: c.name.endswith(".trunk")),
    JOINTS,
    Target("sway", "mm", "", SWAY),
)


COUNTS = "counts"
LEAST = 0.01
"""A hundredth more or less of an error is nothing that anybody would notice."""


class Change(Frozen):
    """Mean absolute error of a group without the part, over that with it; of counts, clips counted exactly with the
    part over those without it. Above 1 the part earns something."""

    group: str
    values: int
    ratio: float | None
    interval: tuple[float, float] | None
    """95 %, clustered by clip."""

    @property
    def earns(self) -> bool:
        return self.interval is not None and self.interval[0] >= 1 + LEAST

    @property
    def costs(self) -> bool:
        return self.interval is not None and self.interval[1] <= 1 - LEAST


class Without(Frozen):
    """All clips measured without one part."""

    part: str
    words: str
    counted: int
    clips: int
    changes: tuple[Change, ...]
    coverage: Coverage | None
    wrong: float | None
    """Share of wrong verdicts."""

    @property
    def verdict(self) -> str:
        """In one word: earns, costs, both or nothing that shows."""
        earns, costs = any(c.earns for c in self.changes), any(c.costs for c in self.changes)
        return "both" if earns and costs else "earns" if earns else "costs" if costs else "nothing shows"


def summed_up(part: str, words: str, whole: Sequence[Result], less: Sequence[Result]) -> Without:
    """One row: the same clips measured with everything (`whole`) and without a part (`less`)."""
    with_, without = _values(whole), _values(less)
    ruled = tally("", list(without.values()))
    return Without(
        part=part,
        words=words,
        counted=sum(r.counted for r in less),
        clips=len(less),
        changes=(_counts(whole, less), *(change for group in GROUPS if (change := _change(group, with_, without)))),
        coverage=coverage([c for c in without.values() if EVERYTHING.applies(c)]),
        wrong=ruled.wrong / ruled.rulings if ruled.rulings else None,
    )


Key = tuple[str, str, str]


def _values(results: Sequence[Result]) -> dict[Key, Comparison]:
    every = [c for result in results for c in result.comparisons if c.value is not None]
    return {(c.clip, c.where, c.name): c for c in every}


def _counts(whole: Sequence[Result], less: Sequence[Result]) -> Change:
    with_, without = ([result.counted for result in results] for results in (whole, less))
    return Change(
        group=COUNTS,
        values=len(less),
        ratio=sum(with_) / sum(without) if any(without) else None,
        interval=clusters.interval(with_, without, [result.clip for result in whole]),
    )


def _change(group: Target, with_: Mapping[Key, Comparison], without: Mapping[Key, Comparison]) -> Change | None:
    """None where no value of the group was measured both ways, or none with any error."""
    both = [key for key, c in with_.items() if key in without and group.applies(c)]
    error, error_without = (np.abs([values[key].error for key in both]) for values in (with_, without))
    if not both or not error.sum():
        return None
    return Change(
        group=group.title,
        values=len(both),
        ratio=float(error_without.sum() / error.sum()),
        interval=clusters.interval(error_without, error, [key[0] for key in both]),
    )
