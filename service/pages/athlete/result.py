"""What a measured clip shows the athlete: each set as one table, a line a rep or hold, with what the coach decided before all."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any, Final

from models.document import Document, Rep, Set, VerdictWord
from models.movements import Movement, load_movement
from models.prescription import Prescription
from models.tempo import STROKES
from models.verdict import set_verdict
from service.advice import advice_lines
from service.pages.athlete.columns import Cell, Column, Entry, cell, columns_of, reasons
from service.pages.athlete.decided import (
    UNDECIDED,
    Decided,
    Decision,
    counted,
    entries_of,
    only_seen_by_coach,
    verdict_of,
    with_corrections,
)  # fmt: skip
from service.pages.text import say, sentence
from service.records.review import RulingWord
from service.words import STATUS, listed, worst_check

SETTLED: Final[Collection[RulingWord | None]] = ("met", "not a rep", "film again")
"""Rulings that leave nothing to change in a rep."""


@dataclass(frozen=True)
class Line:
    """A rep or a hold."""

    n: int
    cells: tuple[Cell, ...]
    verdict: VerdictWord | None
    """The coach's where there is one."""
    machine: VerdictWord | None
    """The machine's, where the coach ruled otherwise."""
    status: str
    """What is to be said of it besides the verdict: `short`, `cut off`; empty for whole reps."""
    change: str
    """One sentence on what to change, or on why nobody can tell."""
    corrected: str
    """Which values are the coach's, in a sentence."""
    ruling: RulingWord | None
    entry: Entry


@dataclass(frozen=True)
class SetTable:
    """One set."""

    n: int
    kind: str
    verdict: VerdictWord | None
    told: str
    """How many of how many, in a sentence."""
    unseen: str
    """That there are reps which only the coach saw."""
    change: str
    """One sentence on what to change first; empty where nothing is."""
    columns: tuple[Column, ...]
    lines: tuple[Line, ...]
    reasons: tuple[str, ...]
    """Why there are dashes."""


@dataclass(frozen=True)
class Result:
    """All that is shown of a measurement."""

    title: str
    sets: tuple[SetTable, ...]
    again: bool
    """The coach asks for another clip."""
    not_checked: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    efforts: tuple[Mapping[str, Any], ...]
    """What the player loops and writes over the picture."""


def read_result(document: Document, plan: Prescription | None, by_coach: Decided) -> Result:
    """Everything that the page shows of a document.

    Args:
        document: The current measurement, with its checks where something was prescribed.
        plan: What it was judged by.
        by_coach: What the coach decided of it.
    """
    movement = load_movement(document.movement)
    shown = with_corrections(document, plan, by_coach)
    sets = tuple(_table(each, shown, movement, plan, by_coach) for each in shown.sets if each.reps or each.holds)
    return Result(
        title=movement.title,
        sets=sets,
        again=by_coach.again,
        not_checked=document.not_measured,
        notes=document.notes,
        cautions=movement.cautions,
        efforts=tuple(_effort(table, line) for table in sets for line in table.lines),
    )


def _table(each: Set, document: Document, movement: Movement, plan: Prescription | None, by_coach: Decided) -> SetTable:
    kind, entries = entries_of(each)
    decisions = [by_coach.efforts.get((each.n, kind, entry.n), UNDECIDED) for entry in entries]
    sources = columns_of(entries, movement, plan)
    lines = [
        _line(
            entry,
            tuple(cell(source, row, entry, decisions[row].measured) for source in sources),
            decisions[row],
        )
        for row, entry in enumerate(entries)
    ]
    more = only_seen_by_coach(document, by_coach)[each.n]
    verdict, told = each.verdict, ""
    if plan is not None and each.verdict is not None:
        dose = 1 if plan.hold is not None else plan.reps or 1
        verdicts = counted(each, by_coach, more)
        verdict, told = set_verdict(verdicts, dose), _told(kind, verdicts, dose)
    return SetTable(
        n=each.n,
        kind=kind,
        verdict=verdict,
        told=told,
        unseen=say("athlete.result.unseen", n=more) if more else "",
        change=_change_first(each, verdict, decisions),
        columns=tuple(source.column for source in sources),
        lines=tuple(lines),
        reasons=tuple(reasons(sources, entries, kind)),
    )


def _line(entry: Entry, cells: tuple[Cell, ...], decision: Decision) -> Line:
    verdict = verdict_of(decision.ruling, entry.verdict)
    parts = [say(f"athlete.part.{name}").lower() for name in decision.measured]
    return Line(
        n=entry.n,
        cells=cells,
        verdict=verdict,
        machine=entry.verdict if decision.ruling and entry.verdict != verdict else None,
        status=STATUS[entry.status] if isinstance(entry, Rep) and entry.status != "whole" else "",
        change=_change(entry, decision.ruling),
        corrected=say("athlete.result.corrected", what=listed(parts)) if parts else "",
        ruling=decision.ruling,
        entry=entry,
    )


def _told(kind: str, verdicts: list[VerdictWord | None], dose: int) -> str:
    """`2 of 3 reps met, 1 unsure.`"""
    unsure = verdicts.count("unsure")
    also = say("athlete.result.told.unsure", unsure=unsure) if unsure else ""
    return say(f"athlete.result.told.{kind}", n=dose, met=verdicts.count("met"), also=also)


def _change_first(each: Set, verdict: VerdictWord | None, decisions: list[Decision]) -> str:
    """What to mend first in a set, of what the coach leaves to be mended."""
    left = {
        kind: tuple(entry for entry, decision in zip(found, decisions, strict=True) if decision.ruling not in SETTLED)
        for kind, found in (("reps", each.reps), ("holds", each.holds))
        if found
    }
    checks = each.checks if verdict == "missed" else ()
    advice = list(advice_lines(each.model_copy(update={**left, "checks": checks})))
    return sentence(advice[-1].partition(": ")[2]) if advice else ""


def _change(entry: Entry, ruling: RulingWord | None) -> str:
    """What the athlete should do about the check that decides."""
    if ruling in SETTLED:
        return ""
    worst = worst_check(entry.checks)
    if worst is not None and worst.verdict in ("missed", "unsure"):
        return sentence(worst.advice or worst.why)
    return say("athlete.result.missed_by_coach") if ruling == "missed" else ""


def _effort(table: SetTable, line: Line) -> dict[str, Any]:
    entry = line.entry
    return {
        "set": table.n,
        "kind": table.kind,
        "n": line.n,
        "start": entry.start,
        "end": entry.end,
        "strokes": [
            {"part": part, "start": stroke.start, "end": stroke.end}
            for part in STROKES
            if isinstance(entry, Rep) and (stroke := getattr(entry, part)) is not None
        ],
    }


def spoken(result: Result) -> str:
    """The result as a few lines of text, for sharing."""
    lines = [result.title]
    for table in result.sets:
        words = [f"{line.n} {line.verdict}" for line in table.lines if line.verdict]
        lines += [table.told, ", ".join(words), table.change]
    return "\n".join(filter(None, lines))
