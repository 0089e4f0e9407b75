"""What plots and overlay show of one rep or hold: its strokes, where their ends can be moved, and its limits."""

from collections.abc import Iterator, Sequence
from typing import Any

from pydantic import BaseModel
from sqlalchemy import select
from sqlalchemy.orm import Session

from models.document import Document, Hold, Rep
from models.tempo import STROKES
from service.api.shapes.results import CheckGiven, EffortTold
from service.pages.coach.faults import check_name
from service.pages.text import say
from service.records import Effort, Measurement, SetRow


class Stretch(BaseModel):
    """A part of a rep, seconds on the clip's clock."""

    kind: str
    name: str
    start: float
    end: float


class Drawn(BaseModel):
    """What a script draws of one rep or hold. `moved` are the boundaries that a coach put elsewhere."""

    id: int
    start: float
    end: float
    stretches: list[Stretch]
    boundaries: dict[str, float]
    moved: dict[str, float]
    limits: list[dict[str, Any]]


def drawn(told: EffortTold, found: Rep | Hold) -> Drawn:
    """The strokes and pauses of an effort, and the limits on its angles, where its checks may be shown."""
    boundaries = {
        f"{name}.{end}": float(getattr(stroke, end))
        for name in STROKES
        if (stroke := getattr(found, name, None)) is not None
        for end in ("start", "end")
    }
    moved = told.corrections[0].boundaries if told.corrections else {}
    return Drawn(
        id=told.id,
        start=told.start,
        end=told.end,
        stretches=list(_stretches(found, boundaries)),
        boundaries=boundaries,
        moved=moved,
        limits=list(_limits(told.checks)),
    )


def measured_as(records: Session, effort: Effort | EffortTold) -> Rep | Hold:
    """The rep or hold in the document that an effort's row was made of."""
    row, text = records.execute(
        select(SetRow, Measurement.document)
        .join(Measurement, Measurement.id == SetRow.measurement_id)
        .where(SetRow.id == effort.set_id)
    ).one()
    found = next(each for each in Document.model_validate_json(text).sets if each.n == row.n)
    efforts: Sequence[Rep | Hold] = found.reps if effort.kind == "rep" else found.holds
    return next(each for each in efforts if each.n == effort.n)


def _stretches(found: Rep | Hold, at: dict[str, float]) -> Iterator[Stretch]:
    if isinstance(found, Hold):
        yield Stretch(kind="hold", name=say("coach.part.hold"), start=found.start, end=found.end)
        return
    there = sorted((name for name in STROKES if f"{name}.start" in at), key=lambda name: at[f"{name}.start"])
    for n, name in enumerate(there):
        start, end = at[f"{name}.start"], at[f"{name}.end"]
        yield Stretch(kind=name, name=say(f"coach.part.{name}"), start=start, end=end)
        pause = "bottom_pause" if name == "lowering" else "top_pause"
        if n + 1 < len(there) and end < at[f"{there[n + 1]}.start"]:
            yield Stretch(kind="pause", name=say(f"coach.part.{pause}"), start=end, end=at[f"{there[n + 1]}.start"])


def _limits(checks: Sequence[CheckGiven]) -> Iterator[dict[str, Any]]:
    for check in checks:
        if check.unit != "deg":
            continue
        name = check_name(check.name)
        for end, value in (("low", check.low), ("high", check.high)):
            if value is not None:
                words = say(f"coach.limit.{end}", value=f"{value:g}", unit="°")
                yield {"angle": name.split()[-1], "value": value, "name": f"{name} {words}"}
