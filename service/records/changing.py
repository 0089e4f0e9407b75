"""Changes of a gym's results, counted, so that a program tool can ask what changed since it last asked.

A change is one transaction: a clip measured, a rep ruled on, a clip deleted. Its number comes from the gym's own row,
which stays locked until the transaction ends. So numbers become visible in their order, and whoever has seen number 7
has missed none below it.

Whoever changes results calls `next_change` before all else in the transaction: two that lock the gym and a clip in
different orders would wait for each other.
"""

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from service.records.base import new_id
from service.records.gyms import Gym
from service.records.running import Deleted


def next_change(session: Session, gym_id: str) -> int:
    """The number of the change that this transaction makes; every other change of the gym waits until it ends.

    Raises:
        NoResultFound: there is no such gym any more.
    """
    counted = update(Gym).where(Gym.id == gym_id).values(changes=Gym.changes + 1).returning(Gym.changes)
    return session.execute(counted, execution_options={"synchronize_session": False}).scalar_one()


def tell_deleted(session: Session, gym_id: str, resource: str, resource_id: str) -> Deleted:
    """Put down that a clip or a person goes, in the transaction that deletes its rows, and before it does.

    This is how a program tool learns of it, and how a restored backup learns what must go again. Rows that went along
    are not told of one by one: an effort carries the identifiers of its clip and of its athlete.
    """
    told = Deleted(gym_id=gym_id, changed=next_change(session, gym_id), resource=resource, resource_id=resource_id)
    session.add(told)
    return told


def begin_history(session: Session) -> None:
    """After a backup was restored: refuse the cursors given out before, whose numbers will now be given again."""
    for gym in session.scalars(select(Gym)):
        gym.history = new_id()
