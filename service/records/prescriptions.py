"""What a coach prescribed, version by version, and the movements that a gym uses."""

from sqlalchemy import ForeignKey, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from service.records.base import AthleteId, Base, Created, GymId, Id


class MovementInUse(Base):
    """A movement that a gym uses: its name in the catalogue."""

    __tablename__ = "movement_in_use"
    __table_args__ = (UniqueConstraint("gym_id", "name"),)

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    name: Mapped[str] = mapped_column(String(60))
    created: Mapped[Created]


class Prescription(Base):
    """What one athlete is to do; what exactly stands in its versions."""

    __tablename__ = "prescription"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    athlete_id: Mapped[AthleteId]
    movement: Mapped[str] = mapped_column(String(60))
    active: Mapped[bool] = mapped_column(default=True)
    created: Mapped[Created]
    versions: Mapped[list["PrescriptionVersion"]] = relationship(
        order_by="PrescriptionVersion.n", cascade="all, delete-orphan", passive_deletes=True
    )


class PrescriptionVersion(Base):
    """The TOML of a prescription as it was from one moment on. Never changed: verdicts point here."""

    __tablename__ = "prescription_version"
    __table_args__ = (UniqueConstraint("prescription_id", "n"),)

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    prescription_id: Mapped[str] = mapped_column(ForeignKey("prescription.id", ondelete="CASCADE"), index=True)
    n: Mapped[int]
    text: Mapped[str] = mapped_column(Text)
    variant: Mapped[str] = mapped_column(String(200))
    """The variant in words, as it is shown and searched for."""
    created_by: Mapped[str | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"), index=True)
    created: Mapped[Created]
