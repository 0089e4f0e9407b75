"""What people say of a clip: rulings, corrected boundaries, notes, pain."""

from datetime import datetime
from typing import Any, Literal

from sqlalchemy import JSON, BigInteger, ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from service.records.base import AthleteId, Base, Created, GymId, Id

RulingWord = Literal["met", "missed", "not a rep", "missing rep", "film again"]
CoachId = Mapped[str | None]


class Ruling(Base):
    """What a coach decided; later ones stand beside earlier ones, the newest counts."""

    __tablename__ = "ruling"
    __table_args__ = (Index("ix_ruling_changed", "gym_id", "changed"),)

    id: Mapped[Id]
    gym_id: Mapped[str] = mapped_column(ForeignKey("gym.id", ondelete="CASCADE"))
    clip_id: Mapped[str] = mapped_column(ForeignKey("clip.id", ondelete="CASCADE"), index=True)
    effort_id: Mapped[int | None] = mapped_column(ForeignKey("effort.id", ondelete="CASCADE"), index=True)
    """None for a missing rep, which has a stretch of the clip instead."""
    start: Mapped[float | None]
    end: Mapped[float | None]
    ruling: Mapped[RulingWord] = mapped_column(String(12))
    note: Mapped[str | None] = mapped_column(Text)
    blind: Mapped[bool] = mapped_column(default=False)
    """Ruled before the machine's verdict was shown: such rulings measure agreement."""
    changed: Mapped[int] = mapped_column(BigInteger)
    """As of an effort: a missing rep has none that could tell of it."""
    chance: Mapped[float] = mapped_column(default=1.0)
    """The probability that this rep came up for review, which agreement is weighted by."""
    coach_id: CoachId = mapped_column(ForeignKey("person.id", ondelete="SET NULL"), index=True)
    made: Mapped[Created]


class Correction(Base):
    """A stroke's boundary moved by a coach, and what was measured anew from it, beside the machine's."""

    __tablename__ = "correction"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    effort_id: Mapped[int] = mapped_column(ForeignKey("effort.id", ondelete="CASCADE"), index=True)
    boundaries: Mapped[dict[str, float]] = mapped_column(JSON)
    measured: Mapped[dict[str, Any]] = mapped_column(JSON)
    coach_id: CoachId = mapped_column(ForeignKey("person.id", ondelete="SET NULL"), index=True)
    made: Mapped[Created]


class Note(Base):
    """A note to an athlete, on a clip or on one of its efforts."""

    __tablename__ = "note"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    athlete_id: Mapped[AthleteId]
    clip_id: Mapped[str | None] = mapped_column(ForeignKey("clip.id", ondelete="CASCADE"), index=True)
    effort_id: Mapped[int | None] = mapped_column(ForeignKey("effort.id", ondelete="CASCADE"), index=True)
    author_id: Mapped[str | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"), index=True)
    text: Mapped[str] = mapped_column(Text)
    made: Mapped[Created]


class PainReport(Base):
    """That something hurt. Until a person clears it, no step up is offered."""

    __tablename__ = "pain_report"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    athlete_id: Mapped[AthleteId]
    clip_id: Mapped[str | None] = mapped_column(ForeignKey("clip.id", ondelete="SET NULL"), index=True)
    text: Mapped[str] = mapped_column(Text)
    made: Mapped[Created]
    cleared: Mapped[datetime | None]
    cleared_by: Mapped[str | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"), index=True)
