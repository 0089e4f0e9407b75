"""Efforts with their checks, as they are shown to whom."""

from collections import defaultdict
from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from service.access.actors import Actor
from service.api.holding import is_held_back
from service.api.shapes.results import CheckGiven, EffortGiven, JudgedEffort
from service.records import CheckRow, Effort


def judged(records: Records, efforts: Sequence[Effort], actor: Actor) -> list[JudgedEffort]:
    """Efforts with their checks. What a coach is to rule on blindly comes without verdict and checks."""
    checks: dict[int | None, list[CheckGiven]] = defaultdict(list)
    of_these = CheckRow.effort_id.in_([effort.id for effort in efforts])
    for row in records.scalars(select(CheckRow).where(of_these).order_by(CheckRow.id)):
        checks[row.effort_id].append(CheckGiven.model_validate(row))
    return [_judged(effort, checks[effort.id], blind=is_held_back(effort, actor)) for effort in efforts]


def _judged(effort: Effort, checks: list[CheckGiven], *, blind: bool) -> JudgedEffort:
    given = EffortGiven.model_validate(effort).model_dump()
    if blind:
        return JudgedEffort(**given | {"verdict": None}, checks=[], blind=True)
    return JudgedEffort(**given, checks=checks)
