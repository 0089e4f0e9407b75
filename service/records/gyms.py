"""Gyms and their people. A gym is a tenant: nothing of one is ever seen from another."""

from datetime import date, datetime
from typing import Literal

from sqlalchemy import BigInteger, String
from sqlalchemy.orm import Mapped, mapped_column

from service.records.base import AthleteId, Base, Created, GymId, Id, new_id

Role = Literal["athlete", "coach", "owner"]
Sex = Literal["female", "male"]


class Gym(Base):
    """A tenant."""

    __tablename__ = "gym"

    id: Mapped[Id]
    name: Mapped[str] = mapped_column(String(120))
    keep_clips_days: Mapped[int | None]
    """How long clips are kept; None: as the settings say."""
    time_zone: Mapped[str] = mapped_column(String(40), default="UTC")
    """The gym's clock (`Europe/Lisbon`), which tells what week something was done in."""
    changes: Mapped[int] = mapped_column(BigInteger, default=0)
    """How many changes of results there have been: see `service.records.changing`."""
    history: Mapped[str] = mapped_column(String(22), default=new_id)
    """Which count of changes this is; a restored backup begins another."""
    created: Mapped[Created]


class Person(Base):
    """An athlete, a coach, or an owner: a coach who also manages people and keys."""

    __tablename__ = "person"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    role: Mapped[Role] = mapped_column(String(8))
    name: Mapped[str] = mapped_column(String(120))
    login: Mapped[str | None] = mapped_column(String(120), unique=True)
    """For coaches and owners, lower case, one among all gyms: it alone tells whose password is asked; athletes come by a link."""
    password_hash: Mapped[str | None] = mapped_column(String(200))
    height_cm: Mapped[float | None]
    mass_kg: Mapped[float | None]
    sex: Mapped[Sex | None] = mapped_column(String(6))
    born: Mapped[date | None]
    """Tells who needs a guardian's consent, and whom the adult tables do not fit."""
    created: Mapped[Created]
    ended: Mapped[datetime | None]
    """No longer with this gym: can no longer sign in, records stay until they are deleted."""


class Consent(Base):
    """That an athlete, or the guardian of a minor, agreed to being filmed and measured."""

    __tablename__ = "consent"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    athlete_id: Mapped[AthleteId]
    given_by: Mapped[Literal["athlete", "guardian"]] = mapped_column(String(8))
    guardian: Mapped[str | None] = mapped_column(String(120))
    given: Mapped[Created]
    withdrawn: Mapped[datetime | None]
