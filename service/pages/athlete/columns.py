"""The columns of a set's table: which values stand in them, what was asked for, and why a value is missing."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from models.document import Hold, Posture, Rep, VerdictWord
from models.limit import Limit
from models.movements import Movement
from models.prescription import Prescription
from models.quantity import Measured, Q, Unmeasured
from models.tempo import PLACES
from service.pages.text import say
from service.words import DECIMALS, numbers

Entry: TypeAlias = Rep | Hold
MISSING: Final = "-"


@dataclass(frozen=True)
class Cell:
    """One value; a dash has its reason below the table."""

    value: str
    u95: str
    verdict: VerdictWord | None
    by_coach: bool = False
    """It follows from strokes whose ends the coach moved."""


@dataclass(frozen=True)
class Column:
    """What stands over a column: what it is, where it was taken or in what unit, and what was asked for."""

    title: str
    beside: str
    asked: str


@dataclass(frozen=True)
class Source:
    """Where a column's values come from."""

    column: Column
    values: tuple[Q | None, ...]
    checks: tuple[str, ...]
    """Names of the checks that rule on it."""


def columns_of(entries: Sequence[Entry], movement: Movement, plan: Prescription | None) -> list[Source]:
    """The columns for the reps or holds of a set, which are all of one kind."""
    reps = [entry for entry in entries if isinstance(entry, Rep)]
    holds = [entry for entry in entries if isinstance(entry, Hold)]
    return _of_reps(reps, movement, plan) if reps else _of_holds(holds, movement, plan)


def cell(source: Source, row: int, entry: Entry, corrected: Collection[str]) -> Cell:
    """The value of a column in a row; `corrected` are the parts of the rep that the coach corrected."""
    q = source.values[row]
    verdict = next((check.verdict for check in entry.checks or () if check.name in source.checks), None)
    by_coach = any(name in corrected for name in source.checks)
    if not isinstance(q, Measured):
        return Cell(MISSING, "", verdict, by_coach)
    places = DECIMALS.get(q.unit, 1)
    return Cell(f"{q.value:z.{places}f}", f"{q.U95:.{places}f}", verdict, by_coach)


def _of_reps(reps: Sequence[Rep], movement: Movement, plan: Prescription | None) -> list[Source]:
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
        Source(Column(say(f"athlete.part.{part}"), "", _asked(plan, part)), values[part], (part,)) for part in parts
    ]
    return [*tempo, _body_angle(movement, plan, [rep.straight for rep in reps], [rep.bent for rep in reps])]


def _of_holds(holds: Sequence[Hold], movement: Movement, plan: Prescription | None) -> list[Source]:
    postures = [hold.posture for hold in holds]
    in_position = tuple(
        next((check.measured for check in hold.checks or () if check.name == "in_position"), hold.still)
        for hold in holds
    )
    asked = say("athlete.result.asked_hold", seconds=f"{plan.hold:g}") if plan and plan.hold else ""
    sway = tuple(hold.sway.along_floor for hold in holds)
    unit = next((each.unit for each in sway if isinstance(each, Measured)), "mm")
    return [
        Source(Column(say("athlete.part.hold"), "", asked), in_position, ("in_position",)),
        _body_angle(movement, plan, postures, postures, "posture"),
        Source(Column(say("athlete.part.sway"), unit, ""), sway, ("sway.along_floor",)),
    ]


def _body_angle(
    movement: Movement,
    plan: Prescription | None,
    straight: Sequence[Posture],
    bent: Sequence[Posture],
    at: str | None = None,
) -> Source:
    """The movement's tilt at the end where it is asked for; where it is at neither, where the limbs are bent."""
    limits = {} if plan is None else plan.rep_limits() | plan.hold_limits()
    asked = [end for end in ("straight", "bent") if f"{end}.{movement.tilt}" in limits]
    end = at or (asked[0] if asked else "bent")
    postures = straight if end == "straight" else bent
    name = f"{end}.{movement.tilt}"
    limit = _short(limits[name]) if name in limits else ""
    where = say(f"athlete.result.end.{end}")
    return Source(
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
    return say("athlete.result.between", low=f"{limit.low:g}", high=f"{limit.high:g}")


def reasons(sources: Sequence[Source], entries: Sequence[Entry], kind: str) -> list[str]:
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
