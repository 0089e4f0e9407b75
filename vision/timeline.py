"""What is going on at a moment of a clip, in the document's own words."""

from dataclasses import dataclass
from itertools import pairwise

from models.document import Document, Hold, Rep, Set


@dataclass(frozen=True)
class Stage:
    """A stroke, a pause or a hold, in seconds of the clip's clock."""

    name: str
    start: float
    end: float


@dataclass(frozen=True)
class Moment:
    """What is seen at one time: the rep or hold that is on, and how long its stroke, pause or hold has lasted."""

    item: str | None = None
    stage: str | None = None
    seconds: float = 0.0


class Timeline:
    """A document's stages in order of time."""

    def __init__(self, document: Document) -> None:
        self._sets = document.sets
        self._stages = [stage for each in document.sets for stage in stages(each)]

    def at(self, time: float) -> Moment:
        """What is on at `time`; a rep stays on until the next begins, as its top pause belongs to neither."""
        item = next((_item(each, time) for each in self._sets if each.start <= time <= each.end), None)
        stage = next((stage for stage in self._stages if stage.start <= time < stage.end), None)
        return Moment(item, stage.name, time - stage.start) if stage else Moment(item)


def stages(each: Set) -> list[Stage]:
    """Strokes, the pauses between them and the holds of a set.

    Between two lowerings of lowering-only reps lies the climb back, which is no stage.
    """
    found = [
        Stage(name, stroke.start, stroke.end)
        for rep in each.reps
        for name, stroke in (("lowering", rep.lowering), ("raising", rep.raising))
        if stroke
    ]
    found.sort(key=lambda stage: stage.start)
    pauses = [
        Stage("bottom pause" if after.name == "raising" else "top pause", before.end, after.start)
        for before, after in pairwise(found)
        if before.name != after.name and before.end < after.start
    ]
    return [*found, *pauses, *(Stage("still", hold.start, hold.end) for hold in each.holds)]


def _item(each: Set, time: float) -> str | None:
    items: tuple[Rep | Hold, ...] = (*each.reps, *each.holds)
    begun = [item for item in items if item.start <= time]
    return _name(max(begun, key=lambda item: item.start)) if begun else None


def _name(item: Rep | Hold) -> str:
    if isinstance(item, Hold):
        words = [f"hold {item.n}"]
    else:
        words = [f"rep {item.n}", *([] if item.status == "whole" else [item.status.replace("_", " ")])]
    return ", ".join(words + ([item.verdict] if item.verdict else []))
