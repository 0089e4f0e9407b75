"""What is wrong with a rep or a hold, in a few words: reps with the same fault are ruled on together."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from service.api.shapes.results import JudgedEffort
from service.pages.text import say
from service.words import STATUS, numbers


@dataclass(frozen=True)
class Group:
    """Reps or holds of one set that a coach may take together."""

    fault: str
    kind: str
    which: str
    count: int
    blind: bool


def fault(effort: JudgedEffort) -> str:
    """`bent elbow missed, lowering unsure`; what is to be ruled on blindly tells nothing."""
    if effort.blind:
        return say("coach.queue.blind")
    if effort.status not in (None, "whole"):
        return say("coach.queue.not_whole", status=STATUS[effort.status])
    found = [
        f"{check_name(each.name)} {each.verdict}" for each in effort.checks if each.verdict in ("missed", "unsure")
    ]
    return ", ".join(found) or str(effort.verdict or say("coach.queue.unjudged"))


def check_name(name: str) -> str:
    """`bent.elbow` as it is read: `bent elbow`."""
    return name.replace(".", " ").replace("_", " ")


def groups(efforts: Iterable[JudgedEffort]) -> list[Group]:
    """Reps with the same fault together, in the order in which each fault first shows."""
    found: dict[tuple[str, str, bool], list[int]] = defaultdict(list)
    for each in efforts:
        found[fault(each), each.kind, each.blind].append(each.n)
    return [
        Group(fault=what, kind=kind, which=numbers(which), count=len(which), blind=blind)
        for (what, kind, blind), which in found.items()
    ]
