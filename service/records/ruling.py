"""What coaches decide, beside what the machine measured: rulings and moved boundaries. Nothing is overwritten."""

from collections.abc import Mapping

from sqlalchemy import select
from sqlalchemy.orm import Session

from models.errors import BadInput
from models.quantity import Q
from service.records.carrying import alike
from service.records.changing import next_change, tell_deleted
from service.records.clips import Clip
from service.records.results import Effort
from service.records.review import Correction, Ruling, RulingWord


class RulingError(BadInput):
    """A ruling or a correction that fits nothing in the clip."""


def rule(
    session: Session,
    clip: Clip,
    ruling: RulingWord,
    *,
    coach_id: str,
    effort_id: int | None = None,
    stretch: tuple[float, float] | None = None,
    note: str | None = None,
    blind: bool = False,
    chance: float = 1.0,
) -> Ruling:
    """Put down what a coach decided; the newest ruling on an effort counts, earlier ones stay.

    Args:
        session: The transaction, in which nothing else is changed before.
        clip: The clip that it is about.
        ruling: The decision.
        coach_id: Who decided.
        effort_id: The rep or hold of this clip. A missing rep has none; where a clip is to be filmed again, it may be
            left out.
        stretch: Start and end of a missing rep, seconds on the clip's clock. An effort brings its own.
        note: What the coach says to it.
        blind: Whether it was given before the machine's verdict was shown.
        chance: The probability that this rep came up for review.

    Raises:
        RulingError: the clip has no such effort or stretch, or the ruling needs the other.
    """
    changed = next_change(session, clip.gym_id)
    effort = None if effort_id is None else _effort(session, clip, effort_id)
    start, end = _stretch(clip, ruling, effort, stretch)
    if effort is not None:
        effort.ruling, effort.changed = ruling, changed
    made = Ruling(
        gym_id=clip.gym_id,
        clip_id=clip.id,
        effort_id=effort_id,
        start=start,
        end=end,
        ruling=ruling,
        note=note,
        blind=blind,
        chance=chance,
        changed=changed,
        coach_id=coach_id,
    )
    session.add(made)
    session.flush()
    return made


def take_back(session: Session, ruling: Ruling) -> None:
    """Delete a ruling that was a slip; the one before it counts again.

    Args:
        session: The transaction, in which nothing else is changed before.
        ruling: The ruling. Whoever was told of it learns that it is gone.

    Raises:
        RulingError: it was given blindly. The verdict has been seen since, so the same rep cannot be ruled on blindly again.
    """
    if ruling.blind:
        raise RulingError(
            "it was given before the verdict was shown, and stays on record; rule again, the newest counts"
        )
    told = tell_deleted(session, ruling.gym_id, "ruling", ruling.id)
    remove(session, ruling, told.changed or 0)


def remove(session: Session, ruling: Ruling, changed: int) -> None:
    """Delete a ruling, as the gym's change of that number; also where it was carried over, the one before it counts again."""
    effort = None if ruling.effort_id is None else session.get(Effort, ruling.effort_id)
    session.delete(ruling)
    session.flush()
    if effort is None:
        return
    same = alike(session, effort)
    left = select(Ruling.ruling).where(Ruling.effort_id.in_([each.id for each in same]))
    counts = session.scalar(left.order_by(Ruling.changed.desc()).limit(1))
    for each in same:
        each.ruling, each.changed = counts, changed


def correct(
    session: Session,
    clip: Clip,
    effort_id: int,
    boundaries: Mapping[str, float],
    measured: Mapping[str, Q],
    *,
    coach_id: str,
) -> Correction:
    """Put down the boundaries that a coach moved, and what was measured anew from them; the newest counts.

    Args:
        session: The transaction, in which nothing else is changed before.
        clip: The clip that it is about.
        effort_id: The rep or hold of this clip.
        boundaries: Seconds on the clip's clock, by name.
        measured: What follows from them, by name; stands beside the machine's values.
        coach_id: Who moved them.

    Raises:
        RulingError: the clip has no such effort, or a boundary lies outside it.
    """
    changed = next_change(session, clip.gym_id)
    effort = _effort(session, clip, effort_id)
    outside = [name for name, at in boundaries.items() if not 0 <= at <= clip.seconds]
    if outside:
        raise RulingError(f"{outside[0]} must lie within the clip, from 0 to {clip.seconds:.2f} s")
    values = {name: value.model_dump(mode="json") for name, value in measured.items()}
    effort.corrected, effort.changed = values, changed
    made = Correction(
        gym_id=clip.gym_id, effort_id=effort.id, boundaries=dict(boundaries), measured=values, coach_id=coach_id
    )
    session.add(made)
    session.flush()
    return made


def _effort(session: Session, clip: Clip, effort_id: int) -> Effort:
    effort = session.scalar(select(Effort).where(Effort.id == effort_id, Effort.clip_id == clip.id))
    if effort is None:
        raise RulingError(f"the clip has no rep or hold {effort_id}")
    return effort


def _stretch(
    clip: Clip, ruling: RulingWord, effort: Effort | None, stretch: tuple[float, float] | None
) -> tuple[float | None, float | None]:
    """Where in the clip a ruling belongs."""
    if ruling == "missing rep":
        if effort is not None or stretch is None:
            raise RulingError("a missing rep needs its start and end in the clip, and no rep that was found")
        if not 0 <= stretch[0] < stretch[1] <= clip.seconds:
            raise RulingError(f"a missing rep must start before it ends, within the clip's {clip.seconds:.2f} s")
        return stretch
    if effort is not None:
        return effort.start, effort.end
    if ruling != "film again":
        raise RulingError(f"say which rep or hold is ruled {ruling!r}")
    return None, None
