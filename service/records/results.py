"""What was measured and how it was judged. Rows that a program tool asks for by the million carry all they are asked by."""

from datetime import datetime
from typing import Any, Literal

from sqlalchemy import JSON, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from models.document import Status, VerdictWord
from service.records.base import AthleteId, Base, Created, GymId, Id

Kind = Literal["rep", "hold"]


class Measurement(Base):
    """One measuring of one clip by one state of the program; measuring again adds one, and changes none."""

    __tablename__ = "measurement"
    __table_args__ = (UniqueConstraint("clip_id", "made_by_sha256", "prescription_version_id"),)

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    clip_id: Mapped[str] = mapped_column(ForeignKey("clip.id", ondelete="CASCADE"), index=True)
    prescription_version_id: Mapped[str | None] = mapped_column(
        ForeignKey("prescription_version.id", ondelete="SET NULL")
    )
    """What its verdicts were judged by."""
    made_by: Mapped[dict[str, Any]] = mapped_column(JSON)
    """Version of the program, of the landmark model, and every setting."""
    made_by_sha256: Mapped[str] = mapped_column(String(64))
    document: Mapped[str] = mapped_column(Text)
    """The measurement document with its checks, JSON."""
    current: Mapped[bool] = mapped_column(default=True)
    """The one that counts: the newest of a clip."""
    made: Mapped[Created]


class SetRow(Base):
    """A set of a measurement, and its verdict."""

    __tablename__ = "set"

    id: Mapped[int] = mapped_column(primary_key=True)
    gym_id: Mapped[GymId]
    measurement_id: Mapped[str] = mapped_column(ForeignKey("measurement.id", ondelete="CASCADE"), index=True)
    clip_id: Mapped[str] = mapped_column(ForeignKey("clip.id", ondelete="CASCADE"), index=True)
    athlete_id: Mapped[AthleteId]
    n: Mapped[int]
    start: Mapped[float]
    end: Mapped[float]
    verdict: Mapped[VerdictWord | None] = mapped_column(String(6))


class Effort(Base):
    """A rep or a hold: one table, because rulings, queues and exports treat them alike."""

    __tablename__ = "effort"
    __table_args__ = (
        Index("ix_effort_athlete_done", "gym_id", "athlete_id", "done", "id"),
        Index("ix_effort_changed", "gym_id", "changed", "id"),
        Index("ix_effort_review", "gym_id", "current", "verdict", "done"),
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    gym_id: Mapped[GymId]
    athlete_id: Mapped[str] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    clip_id: Mapped[str] = mapped_column(ForeignKey("clip.id", ondelete="CASCADE"), index=True)
    set_id: Mapped[int] = mapped_column(ForeignKey("set.id", ondelete="CASCADE"), index=True)
    kind: Mapped[Kind] = mapped_column(String(4))
    current: Mapped[bool] = mapped_column(default=True)
    """Belongs to its clip's current measurement."""
    n: Mapped[int]
    done: Mapped[datetime]
    """The clip's day and time."""
    changed: Mapped[int]
    """Grows with every change in a gym: the cursor of «what changed since»."""
    movement: Mapped[str] = mapped_column(String(60))
    variant: Mapped[str | None] = mapped_column(String(200))
    status: Mapped[Status | None] = mapped_column(String(7))
    """Of a rep."""
    start: Mapped[float]
    end: Mapped[float]
    lowering_s: Mapped[float | None]
    lowering_u95: Mapped[float | None]
    bottom_pause_s: Mapped[float | None]
    bottom_pause_u95: Mapped[float | None]
    raising_s: Mapped[float | None]
    raising_u95: Mapped[float | None]
    top_pause_s: Mapped[float | None]
    top_pause_u95: Mapped[float | None]
    body_angle_deg: Mapped[float | None]
    """Body angle, or lean, where the limbs are bent; of a hold, its median."""
    body_angle_u95: Mapped[float | None]
    still_s: Mapped[float | None]
    still_u95: Mapped[float | None]
    sway_mm: Mapped[float | None]
    sway_u95: Mapped[float | None]
    verdict: Mapped[VerdictWord | None] = mapped_column(String(6))
    """The machine's; a ruling stands beside it."""
    ruling: Mapped[str | None] = mapped_column(String(12))
    """The newest ruling, kept here too because it is asked for by the million."""


class CheckRow(Base):
    """One check of a rep or hold."""

    __tablename__ = "check"

    id: Mapped[int] = mapped_column(primary_key=True)
    effort_id: Mapped[int] = mapped_column(ForeignKey("effort.id", ondelete="CASCADE"), index=True)
    name: Mapped[str] = mapped_column(String(60))
    value: Mapped[float | None]
    u95: Mapped[float | None]
    unit: Mapped[str | None] = mapped_column(String(16))
    low: Mapped[float | None]
    high: Mapped[float | None]
    p: Mapped[float | None]
    verdict: Mapped[VerdictWord | None] = mapped_column(String(6))
    why: Mapped[str] = mapped_column(Text)
    advice: Mapped[str | None] = mapped_column(Text)
