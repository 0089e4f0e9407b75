"""How far coaches' blind rulings agree with the machine, as the records show it."""

from collections import defaultdict
from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from models.agreement import Pair, agreement
from service.api.shapes.review import AgreementGiven
from service.records import CheckRow, Effort, Ruling

OVERALL = "verdict"


def agreements(records: Records, gym_id: str) -> list[AgreementGiven]:
    """Overall and by check, from the first blind ruling on each effort.

    A coach rules on a rep, not on its checks. So a check is compared where the ruling turns on it: where every other check
    of the rep was met. What the machine was unsure of is no disagreement and is left out, and counted. Reps of one clip are
    counted as if they were independent, so the interval is a little too narrow.
    """
    ruled: dict[int, tuple[Ruling, Effort]] = {}
    for ruling, effort in records.execute(
        select(Ruling, Effort)
        .join(Effort, Effort.id == Ruling.effort_id)
        .where(Ruling.gym_id == gym_id, Ruling.blind, Ruling.ruling.in_(("met", "missed")))
        .order_by(Ruling.changed)
    ):
        ruled.setdefault(effort.id, (ruling, effort))
    checks: dict[int | None, list[CheckRow]] = defaultdict(list)
    for check in records.scalars(
        select(CheckRow).where(CheckRow.effort_id.in_(list(ruled)), CheckRow.verdict.is_not(None))
    ):
        checks[check.effort_id].append(check)
    pairs: dict[str, list[Pair]] = defaultdict(list)
    for ruling, effort in ruled.values():
        pairs[OVERALL].append(Pair(effort.verdict, ruling.ruling, ruling.chance))
        for check in checks[effort.id]:
            if all(other.verdict == "met" for other in checks[effort.id] if other is not check):
                pairs[check.name].append(Pair(check.verdict, ruling.ruling, ruling.chance))
    return [_given(OVERALL, pairs.pop(OVERALL, [])), *(_given(name, found) for name, found in sorted(pairs.items()))]


def _given(name: str, pairs: Sequence[Pair]) -> AgreementGiven:
    sure = [pair for pair in pairs if pair.machine != "unsure"]
    found = agreement(sure)
    low, high = found.interval or (None, None)
    return AgreementGiven(
        name=name, n=found.n, unsure=len(pairs) - len(sure), share=found.share, kappa=found.kappa, low=low, high=high
    )
