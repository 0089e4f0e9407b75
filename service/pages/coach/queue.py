"""The queue as a coach reads it: sets, each with what in it needs a person."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from service.access.actors import Actor
from service.api.paging import USUAL
from service.api.queue import to_review
from service.api.shapes.review import SetToReview
from service.pages.coach.clocks import Clock
from service.pages.coach.faults import Group, groups
from service.pages.naming import called
from service.records import Person


@dataclass(frozen=True)
class Waiting:
    """A set that waits for a coach."""

    id: int
    athlete: str
    what: str
    when: str
    groups: list[Group]


@dataclass(frozen=True)
class Queue:
    """A page of the queue, and the cursor of the next one."""

    sets: list[Waiting]
    next: str | None


def waiting(records: Session, actor: Actor, after: str | None) -> Queue:
    """A page of the queue: what is least certain first, then the oldest.

    Raises:
        Problem: `after` is no cursor of the queue.
    """
    assert actor.gym_id is not None
    found = to_review(records, actor, actor.gym_id, after, USUAL)
    clock, names = Clock(records, actor), _names(records, [each.athlete_id for each in found.items])
    return Queue([_waiting(each, names, clock) for each in found.items], found.next)


def set_after(records: Session, actor: Actor, set_id: int) -> int | None:
    """The set that comes after this one in the queue; None: no other waits."""
    assert actor.gym_id is not None
    ids = [each.set_id for each in to_review(records, actor, actor.gym_id, None, USUAL).items]
    later = ids[ids.index(set_id) + 1 :] if set_id in ids else []
    return next((each for each in (*later, *ids) if each != set_id), None)


def _waiting(each: SetToReview, names: dict[str, str], clock: Clock) -> Waiting:
    efforts = each.efforts
    what = called(efforts[0].variant if efforts else None, each.movement)
    return Waiting(each.set_id, names[each.athlete_id], what, clock.time(each.done), groups(efforts))


def _names(records: Session, ids: list[str]) -> dict[str, str]:
    return {row.id: row.name for row in records.scalars(select(Person).where(Person.id.in_(ids)))}
