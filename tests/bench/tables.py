"""Results as tables: one line per clip, one line per target, and every miscount in words."""

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import numpy as np
from rich.console import Console
from rich.table import Table

from tests.bench import verdicts
from tests.bench.compare import Comparison, Result
from tests.bench.targets import EVERYTHING, JOINTS, LINES, TARGETS, TIMES, Row, Target, judge

Figures = dict[str, Any]


def per_clip(results: Sequence[Result]) -> Table:
    """One line per clip: counts, and the largest error of each kind."""
    columns = ("whole reps", "holds", "times s", "lines deg", "joints deg", "inside U95", "faults")
    table = Table("clip", *columns, title="each clip: measured/true counts, median and largest error")
    for result in results:
        groups = [judge(target, result.comparisons) for target in (TIMES, LINES, JOINTS, EVERYTHING)]
        table.add_row(
            result.clip,
            f"{result.whole[1]}/{result.whole[0]}",
            f"{result.holds[1]}/{result.holds[0]}",
            *(_median_and_largest(target, result.comparisons) for target in (TIMES, LINES, JOINTS)),
            _percent(groups[-1].coverage),
            "refused" if result.refusal else str(len(result.faults) or ""),
        )
    return table


def pooled(results: Sequence[Result], baseline: Sequence[Result]) -> Table:
    """One line per target with what was reached beside it, and the baseline's figures."""
    plain = [c for result in baseline for c in result.comparisons]
    columns = ("n", "no value", "median", "p95", "target", "p95/limit", "kept", "U95 holds", "U95/error")
    table = Table("quantity", *columns, "plain median", "plain p95", title="all clips: absolute errors against targets")
    for row in rows(results):
        beside = judge(row.target, plain)
        table.add_row(
            ", ".join(filter(None, (row.target.title, row.target.unit))),
            str(row.count),
            str(row.missing or ""),
            _number(row.median),
            _number(row.p95),
            row.target.words,
            _number(row.share),
            {True: "yes", False: "NO", None: ""}[row.kept],
            f"{_percent(row.coverage)} {_interval(*row.coverage_interval)}",
            _number(row.width),
            _number(beside.median),
            _number(beside.p95),
        )
    return table


def detail(results: Sequence[Result]) -> Table:
    """Every value compared; a star where U95 does not hold the truth."""
    table = Table("clip", "where", "value", "truth", "measured", "error", "U95", "", title="every value")
    for c in (c for result in results for c in result.comparisons):
        outside = c.value is None or (c.U95 is not None and abs(c.error) > c.U95)
        numbers = [c.truth, c.value, c.error, c.U95]
        shown = ["none" if x is None or np.isnan(x) else f"{x:.2f}" for x in numbers]
        table.add_row(c.clip, c.where, c.name, *shown, "*" if outside else "")
    return table


def rows(results: Sequence[Result]) -> list[Row]:
    every = [c for result in results for c in result.comparisons]
    return [judge(target, every) for target in (*TARGETS, TIMES, LINES, JOINTS, EVERYTHING)]


def counts(results: Sequence[Result]) -> str:
    right, refusals = sum(r.counted for r in results), sum(r.refusal is not None for r in results)
    return f"counted exactly: {right} of {len(results)} clips (target: all); refused: {refusals} (target: at most 5 %)"


def show(console: Console, results: Sequence[Result], baseline: Sequence[Result]) -> None:
    console.print(per_clip(results))
    console.print(pooled(results, baseline))
    console.print(counts(results))
    console.print(str(verdicts.tally([c for result in results for c in result.comparisons])))
    for result in results:
        for fault in (*result.faults, *([f"refused: {result.refusal}"] if result.refusal else [])):
            console.print(f"  {result.clip}: {fault}", markup=False)
    if baseline:
        console.print(f"plain baseline: {counts(baseline)}")


def as_json(results: Sequence[Result], baseline: Sequence[Result]) -> Figures:
    """All that the tables show, and every comparison behind them."""
    return {
        "clips": [_clip(result) for result in results],
        "verdicts": asdict(verdicts.tally([c for result in results for c in result.comparisons])),
        "baseline": [_clip(result) for result in baseline],
        "targets": [
            {
                "title": row.target.title,
                "unit": row.target.unit,
                "target": row.target.words,
                "clips": row.clips,
                "count": row.count,
                "no_value": row.missing,
                "median": _or_none(row.median),
                "p95": _or_none(row.p95),
                "share_of_limit": _or_none(row.share),
                "kept": row.kept,
                "coverage": _or_none(row.coverage),
                "coverage_interval": [_or_none(end) for end in row.coverage_interval],
                "U95_over_error": _or_none(row.width),
            }
            for row in rows(results)
        ],
    }


def _clip(result: Result) -> Figures:
    return {
        "clip": result.clip,
        "whole": result.whole,
        "holds": result.holds,
        "refusal": result.refusal,
        "faults": result.faults,
        "values": [
            {"where": c.where, "name": c.name, "truth": c.truth, "value": c.value, "U95": c.U95}
            for c in result.comparisons
        ],
    }


def _median_and_largest(target: Target, comparisons: Sequence[Comparison]) -> str:
    errors = [abs(c.error) for c in comparisons if target.applies(c) and c.value is not None]
    return f"{_number(float(np.median(errors)))} / {_number(max(errors))}" if errors else ""


def _or_none(x: float) -> float | None:
    return None if np.isnan(x) else x


def _number(x: float) -> str:
    return "" if np.isnan(x) else f"{x:.3f}" if x < 1 else f"{x:.2f}"


def _percent(x: float) -> str:
    return "" if np.isnan(x) else f"{100 * x:.0f} %"


def _interval(low: float, high: float) -> str:
    return "" if np.isnan(low) else f"({100 * low:.0f}-{100 * high:.0f})"
