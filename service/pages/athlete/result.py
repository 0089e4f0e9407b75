"""What a measured clip shows the athlete: each set as one table, a line a rep or hold."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from models.document import Check, Document, Hold, Posture, Rep, Set, VerdictWord
from models.limit import Limit
from models.movements import Movement, load_movement
from models.prescription import Prescription
from models.quantity import Measured, Q, Unmeasured
from models.tempo import PLACES
from service.advice import advice_lines
from service.pages.text import say
from service.records.review import RulingWord
from service.words import DECIMALS, STATUS, numbers, worst_check

Entry = Rep | Hold
Place = tuple[int, str, int]
"""Number of the set, `rep` or `hold`, number in the set."""
MISSING: Final = "-"


@dataclass(frozen=True)
class Cell:
    """One value; a dash has its reason below the table."""

    value: str
    u95: str
    verdict: VerdictWord | None


@dataclass(frozen=True)
class Column:
    """What stands over a column: what it is, where it was taken or in what unit, and what was asked for."""

    title: str
    beside: str
    asked: str


@dataclass(frozen=True)
class Line:
    """A rep or a hold."""

    n: int
    cells: tuple[Cell, ...]
    verdict: VerdictWord | None
    status: str
    """What is to be said of it besides the verdict: `short`, `cut off`; empty for whole reps."""
    change: str
    """One sentence on what to change, or on why nobody can tell."""
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
    not_checked: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    efforts: tuple[Mapping[str, Any], ...]
    """What the player loops and writes over the picture."""


@dataclass(frozen=True)
class _Source:
    """Where a column's values come from."""

    column: Column
    values: tuple[Q | None, ...]
    checks: tuple[str, ...]
    """Names of the checks that rule on it."""


def read_result(document: Document, plan: Prescription | None, rulings: Mapping[Place, RulingWord]) -> Result:
    """Everything that the page shows of a document.

    Args:
        document: The current measurement, with its checks where something was prescribed.
        plan: What it was judged by.
        rulings: The newest ruling of each rep or hold that has one.
    """
    movement = load_movement(document.movement)
    sets = tuple(_table(each, movement, plan, rulings) for each in document.sets if each.reps or each.holds)
    return Result(
        title=movement.title,
        sets=sets,
        not_checked=document.not_measured,
        notes=document.notes,
        cautions=movement.cautions,
        efforts=tuple(_effort(table, line) for table in sets for line in table.lines),
    )


def _table(each: Set, movement: Movement, plan: Prescription | None, rulings: Mapping[Place, RulingWord]) -> SetTable:
    kind = "rep" if each.reps else "hold"
    entries: Sequence[Entry] = each.reps or each.holds
    sources = _of_reps(each.reps, movement, plan) if each.reps else _of_holds(each.holds, movement, plan)
    lines = tuple(
        Line(
            n=entry.n,
            cells=tuple(_cell(source.values[row], _ruling_check(entry, source.checks)) for source in sources),
            verdict=entry.verdict,
            status=STATUS[entry.status] if isinstance(entry, Rep) and entry.status != "whole" else "",
            change=_change(entry),
            ruling=rulings.get((each.n, kind, entry.n)),
            entry=entry,
        )
        for row, entry in enumerate(entries)
    )
    advice = list(advice_lines(each))
    asked = next((check.low for check in each.checks or () if check.low is not None), None)
    return SetTable(
        n=each.n,
        kind=kind,
        verdict=each.verdict,
        told="" if each.verdict is None or asked is None else _told(kind, entries, asked),
        change=advice[-1].partition(": ")[2] if advice else "",
        columns=tuple(source.column for source in sources),
        lines=lines,
        reasons=tuple(_reasons(sources, entries, kind)),
    )


def _told(kind: str, entries: Sequence[Entry], asked: float) -> str:
    """`2 of 3 reps met, 1 unsure.`"""
    met, unsure = (sum(entry.verdict == word for entry in entries) for word in ("met", "unsure"))
    also = say("athlete.result.told.unsure", unsure=unsure) if unsure else ""
    return say(f"athlete.result.told.{kind}", met=met, asked=f"{asked:g}", also=also)


def _of_reps(reps: Sequence[Rep], movement: Movement, plan: Prescription | None) -> list[_Source]:
    lowering, bottom, raising, top = PLACES
    only = plan is not None and plan.lowering_only
    values: dict[str, tuple[Q | None, ...]] = {
        lowering: tuple(rep.lowering.duration if rep.lowering else None for rep in reps),
        bottom: tuple(rep.bottom_pause for rep in reps),
        raising: tuple(rep.raising.duration if rep.raising else None for rep in reps),
        top: tuple(rep.top_pause for rep in reps),
    }
    parts = (lowering,) if only else PLACES
    tempo = [
        _Source(Column(say(f"athlete.part.{part}"), "", _asked(plan, part)), values[part], (part,)) for part in parts
    ]
    return [*tempo, _body_angle(movement, plan, [rep.straight for rep in reps], [rep.bent for rep in reps])]


def _of_holds(holds: Sequence[Hold], movement: Movement, plan: Prescription | None) -> list[_Source]:
    postures = [hold.posture for hold in holds]
    in_position = tuple(
        next((check.measured for check in hold.checks or () if check.name == "in_position"), hold.still)
        for hold in holds
    )
    asked = say("athlete.result.asked_hold", seconds=f"{plan.hold:g}") if plan and plan.hold else ""
    sway = tuple(hold.sway.along_floor for hold in holds)
    unit = next((each.unit for each in sway if isinstance(each, Measured)), "mm")
    return [
        _Source(Column(say("athlete.part.hold"), "", asked), in_position, ("in_position",)),
        _body_angle(movement, plan, postures, postures, "posture"),
        _Source(Column(say("athlete.part.sway"), unit, ""), sway, ("sway.along_floor",)),
    ]


def _body_angle(
    movement: Movement,
    plan: Prescription | None,
    straight: Sequence[Posture],
    bent: Sequence[Posture],
    at: str | None = None,
) -> _Source:
    """The movement's tilt at the end where it is asked for; where it is at neither, where the limbs are bent."""
    limits = {} if plan is None else plan.rep_limits() | plan.hold_limits()
    asked = [end for end in ("straight", "bent") if f"{end}.{movement.tilt}" in limits]
    end = at or (asked[0] if asked else "bent")
    postures = straight if end == "straight" else bent
    name = f"{end}.{movement.tilt}"
    limit = _short(limits[name]) if name in limits else ""
    where = say(f"athlete.result.end.{end}")
    return _Source(
        Column(say(f"athlete.part.{movement.tilt}"), where, limit),
        tuple(getattr(posture, movement.tilt) for posture in postures),
        (name,),
    )


def _asked(plan: Prescription | None, part: str) -> str:
    """What the tempo asks of a part, or the limit that replaces it."""
    if plan is None:
        return ""
    written = getattr(plan.limits, part)
    if written is not None:
        return _short(written)
    digit = plan.tempo.asked().get(part) if plan.tempo else None
    if digit is None:
        return ""
    return say("athlete.result.fast") if digit == "X" else f"{digit:g}"


def _short(limit: Limit) -> str:
    """`≥70`, as a table has room for it."""
    if limit.low is None:
        return f"≤{limit.high:g}"
    if limit.high is None:
        return f"≥{limit.low:g}"
    return f"{limit.low:g}..{limit.high:g}"


def _ruling_check(entry: Entry, names: Sequence[str]) -> Check | None:
    return next((check for check in entry.checks or () if check.name in names), None)


def _cell(q: Q | None, ruled: Check | None) -> Cell:
    verdict = ruled.verdict if ruled else None
    if not isinstance(q, Measured):
        return Cell(MISSING, "", verdict)
    places = DECIMALS.get(q.unit, 1)
    return Cell(f"{q.value:z.{places}f}", f"{q.U95:.{places}f}", verdict)


def _change(entry: Entry) -> str:
    """What the athlete should do about the check that decides."""
    worst = worst_check(entry.checks)
    if worst is None or worst.verdict not in ("missed", "unsure"):
        return ""
    return worst.advice or worst.why


def _reasons(sources: Sequence[_Source], entries: Sequence[Entry], kind: str) -> list[str]:
    """Why values are missing, a sentence for each reason."""
    found: dict[tuple[str, str], list[int]] = defaultdict(list)
    for source in sources:
        for entry, q in zip(entries, source.values, strict=True):
            if not isinstance(q, Measured):
                reason = q.reason if isinstance(q, Unmeasured) else say("athlete.result.no_stroke")
                found[source.column.title.lower(), reason].append(entry.n)
    return [
        say(f"athlete.result.missing.{kind}", n=len(which), what=what, which=numbers(which), reason=reason)
        for (what, reason), which in found.items()
    ]


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
            for part in ("lowering", "raising")
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
