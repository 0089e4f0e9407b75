"""Truth against measurement, event by event: matched by overlap in time, with nothing left out silently."""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment

from tests.bench.events import Event
from tests.bench.truth import Truth

OVERLAP = 0.3
"""Least share that two events have in common (of their union) to be taken for the same one."""


@dataclass(frozen=True)
class Comparison:
    """One value of one event, with the circumstances on which its target depends."""

    clip: str
    movement: str
    where: str
    name: str
    truth: float
    value: float | None
    U95: float | None
    good_view: bool
    edges: bool
    flare: float

    @property
    def error(self) -> float:
        return float("nan") if self.value is None else self.value - self.truth


@dataclass(frozen=True)
class Result:
    """What one clip gave: counts as (truth, measured), values compared, and in words what does not match."""

    clip: str
    movement: str
    whole: tuple[int, int]
    holds: tuple[int, int]
    comparisons: tuple[Comparison, ...]
    faults: tuple[str, ...]
    refusal: str | None = None

    @property
    def counted(self) -> bool:
        return self.refusal is None and self.whole[0] == self.whole[1] and self.holds[0] == self.holds[1]


def compare(truth: Truth, expected: list[Event], measured: list[Event]) -> Result:
    pairs = match(expected, measured)
    faults = [f"not found: {_words(event)}" for i, event in enumerate(expected) if i not in pairs]
    faults += [f"not there: {_words(event)}" for j, event in enumerate(measured) if j not in pairs.values()]
    comparisons: list[Comparison] = []
    for i, j in sorted(pairs.items()):
        if expected[i].status != measured[j].status:
            faults.append(f"{_words(expected[i])} taken for {measured[j].status}")
        where = f"{expected[i].kind} {i + 1}"
        comparisons += _values(truth, where, expected[i], measured[j])
    return Result(
        truth.clip,
        truth.movement,
        (_count(expected, "whole"), _count(measured, "whole")),
        (_count(expected, "hold"), _count(measured, "hold")),
        tuple(comparisons),
        tuple(faults),
    )


def refused(truth: Truth, expected: list[Event], reason: str) -> Result:
    counts = (_count(expected, "whole"), 0), (_count(expected, "hold"), 0)
    return Result(truth.clip, truth.movement, *counts, (), (), reason)


def match(expected: list[Event], measured: list[Event]) -> dict[int, int]:
    """Index of the measured event for each expected one that has one: the pairing with the largest overlap in all."""
    if not expected or not measured:
        return {}
    share = np.array([[_overlap(a, b) for b in measured] for a in expected])
    rows, columns = linear_sum_assignment(-share)
    return {int(i): int(j) for i, j in zip(rows, columns, strict=True) if share[i, j] >= OVERLAP}


def _overlap(a: Event, b: Event) -> float:
    if a.kind != b.kind:
        return 0.0
    common = min(a.end, b.end) - max(a.start, b.start)
    return max(common, 0.0) / (max(a.end, b.end) - min(a.start, b.start))


def _values(truth: Truth, where: str, expected: Event, measured: Event) -> list[Comparison]:
    found = {name: measured.values.get(name) for name, value in expected.values.items() if value.value is not None}
    return [
        Comparison(
            truth.clip,
            truth.movement,
            where,
            name,
            float(expected.values[name].value or 0.0),
            None if value is None else value.value,
            None if value is None else value.U95,
            truth.good_view,
            truth.edges,
            truth.flare,
        )
        for name, value in found.items()
    ]


def _count(events: list[Event], status: str) -> int:
    return sum(event.status == status for event in events)


def _words(event: Event) -> str:
    name = "hold" if event.kind == "hold" else f"{event.status} rep"
    return f"{name} {event.start:.2f}-{event.end:.2f} s"
