"""Which movements a gym uses: what it has prescribed, and what its coaches chose."""

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from service.records.prescriptions import MovementInUse


def in_use(session: Session, gym_id: str) -> frozenset[str]:
    """Names of the movements that a gym uses."""
    return frozenset(session.scalars(select(MovementInUse.name).where(MovementInUse.gym_id == gym_id)))


def take_into_use(session: Session, gym_id: str, name: str) -> None:
    """A gym uses a movement from now on; nothing happens where it does already."""
    if name not in in_use(session, gym_id):
        session.add(MovementInUse(gym_id=gym_id, name=name))


def put_out_of_use(session: Session, gym_id: str, name: str) -> None:
    """A gym uses a movement no more. What is prescribed stays prescribed."""
    session.execute(delete(MovementInUse).where(MovementInUse.gym_id == gym_id, MovementInUse.name == name))
