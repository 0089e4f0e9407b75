"""What the coach decided of a clip, which counts before what the machine says: rulings, and strokes whose ends were moved."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from pydantic import TypeAdapter
from sqlalchemy import select
from sqlalchemy.orm import Session

from models.document import Document, Hold, Rep, Set, Stroke, VerdictWord
from models.prescription import Prescription
from models.quantity import Q
from models.tempo import STROKES
from models.verdict import judge
from service.records import Effort, Ruling, SetRow
from service.records.results import Kind, Place
from service.records.review import Correction, RulingWord

QUANTITY: Final[TypeAdapter[Q]] = TypeAdapter(Q)


@dataclass(frozen=True)
class Decision:
    """What was decided of one rep or hold."""

    ruling: RulingWord | None = None
    measured: Mapping[str, Q] = field(default_factory=dict)
    """Parts of the tempo as they follow from the strokes' corrected ends."""
    boundaries: Mapping[str, float] = field(default_factory=dict)
    """These ends, by names like `lowering.start`, seconds on the clip's clock."""


@dataclass(frozen=True)
class Decided:
    """All that was decided of a clip."""

    efforts: Mapping[Place, Decision] = field(default_factory=dict)
    missing: tuple[tuple[float, float], ...] = ()
    """Reps that the machine did not see."""
    again: bool = False
    """The whole clip, or something in it, is to be filmed again."""


UNDECIDED: Final = Decision()


def decided(records: Session, clip_id: str) -> Decided:
    """What coaches decided of a clip, as it counts now."""
    query = (
        select(SetRow.n, Effort, Correction.boundaries)
        .join(SetRow, SetRow.id == Effort.set_id)
        .outerjoin(Correction, Correction.effort_id == Effort.id)
        .where(Effort.clip_id == clip_id, Effort.current)
        .where(Effort.ruling.is_not(None) | Effort.corrected.is_not(None))
        .order_by(Correction.made, Correction.id)  # the newest comes last, and counts
    )
    efforts = {
        (n, effort.kind, effort.n): Decision(
            ruling=effort.ruling,
            measured={name: QUANTITY.validate_python(value) for name, value in (effort.corrected or {}).items()},
            boundaries=boundaries or {},
        )
        for n, effort, boundaries in records.execute(query)
    }
    of_clip = list(records.scalars(select(Ruling).where(Ruling.clip_id == clip_id, Ruling.effort_id.is_(None))))
    missing = [(each.start, each.end) for each in of_clip if each.start is not None and each.end is not None]
    words = {each.ruling for each in efforts.values()} | {each.ruling for each in of_clip}
    return Decided(efforts, tuple(sorted(missing)), "film again" in words)


def with_corrections(document: Document, plan: Prescription | None, by_coach: Decided) -> Document:
    """The document with the strokes as the coach put them, judged by them anew."""
    if not any(each.measured for each in by_coach.efforts.values()):
        return document
    sets = tuple(
        each.model_copy(
            update={"reps": tuple(_corrected(rep, by_coach.efforts.get((each.n, "rep", rep.n))) for rep in each.reps)}
        )
        for each in document.sets
    )
    corrected = document.model_copy(update={"sets": sets})
    return judge(corrected, plan) if plan is not None and plan.hold is None else corrected


def _corrected(rep: Rep, decision: Decision | None) -> Rep:
    if decision is None or not decision.measured:
        return rep
    strokes = {name: stroke for name in STROKES if (stroke := getattr(rep, name)) is not None}
    moved = {name: _moved(name, stroke, decision) for name, stroke in strokes.items()}
    pauses = {name: value for name, value in decision.measured.items() if name not in STROKES}
    ends = {
        "start": min([rep.start, *(stroke.start for stroke in moved.values())]),
        "end": max([rep.end, *(stroke.end for stroke in moved.values())]),
    }
    return rep.model_copy(update={**moved, **pauses, **ends})


def _moved(name: str, stroke: Stroke, decision: Decision) -> Stroke:
    put: dict[str, Any] = {
        end: decision.boundaries[f"{name}.{end}"] for end in ("start", "end") if f"{name}.{end}" in decision.boundaries
    }
    return stroke.model_copy(update={**put, "duration": decision.measured.get(name, stroke.duration)})


def verdict_of(ruling: RulingWord | None, machine: VerdictWord | None) -> VerdictWord | None:
    """The verdict that counts: the coach's where there is one; none of what is no rep, or cannot be told from this clip."""
    if ruling is None:
        return machine
    return ruling if ruling in ("met", "missed") else None


def counted(each: Set, by_coach: Decided, more: int) -> list[VerdictWord | None]:
    """The verdicts that a set's dose is counted by: of whole reps and of holds, and of what the coach ruled on.

    What only the coach saw was judged by nobody, and is unsure.
    """
    kind, entries = entries_of(each)
    found: list[VerdictWord | None] = []
    for entry in entries:
        ruling = by_coach.efforts.get((each.n, kind, entry.n), UNDECIDED).ruling
        if ruling in ("met", "missed"):
            found.append(verdict_of(ruling, entry.verdict))
        elif ruling == "film again":
            found.append("unsure")
        elif ruling is None and (isinstance(entry, Hold) or entry.status == "whole"):
            found.append(entry.verdict)
    return found + ["unsure"] * more


def only_seen_by_coach(document: Document, by_coach: Decided) -> Counter[int]:
    """How many reps only the coach saw, by the number of the set that they lie in or nearest to."""
    found: Counter[int] = Counter()
    for start, end in by_coach.missing:
        middle = (start + end) / 2
        nearest = min(document.sets, key=lambda each: max(each.start - middle, middle - each.end), default=None)
        if nearest is not None:
            found[nearest.n] += 1
    return found


def entries_of(each: Set) -> tuple[Kind, Sequence[Rep | Hold]]:
    """What a set consists of: `rep` or `hold`, and all of them."""
    return ("rep", each.reps) if each.reps else ("hold", each.holds)
