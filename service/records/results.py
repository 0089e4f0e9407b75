"""What was measured and how it was judged. Rows that a program tool asks for by the million carry all they are asked by.

A change of results has a number, counted for each gym (`changed`): see `service.records.changing`.
"""

from datetime import date, datetime
from typing import Any, Literal, TypeAlias

from sqlalchemy import JSON, BigInteger, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from models.document import Status, VerdictWord
from service.records.base import AthleteId, Base, Created, GymId, Id, Number, OptionalJson
from service.records.review import RulingWord

Kind = Literal["rep", "hold"]
Place: TypeAlias = tuple[int, Kind, int]
"""Where in a measurement an effort stands: number of the set, kind and number of the effort in it."""


class Measurement(Base):
    """One measuring of one clip by one state of the program; measuring again adds one, and changes none."""

    __tablename__ = "measurement"
    __table_args__ = (UniqueConstraint("clip_id", "key"),)

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    clip_id: Mapped[str] = mapped_column(ForeignKey("clip.id", ondelete="CASCADE"))
    key: Mapped[str] = mapped_column(String(64))
    """SHA-256 of what it was made by, of which movement, and by what it was judged. One column, because a version that is
    NULL, or becomes NULL when its prescription is deleted, equals no other and would let a measurement in twice."""
    prescription_version_id: Mapped[str | None] = mapped_column(
        ForeignKey("prescription_version.id", ondelete="SET NULL"), index=True
    )
    """What its verdicts were judged by."""
    made_by: Mapped[dict[str, Any]] = mapped_column(JSON)
    """Version of the program, of the landmark model, and every setting."""
    document: Mapped[str] = mapped_column(Text)
    """The measurement document with its checks, JSON."""
    current: Mapped[bool] = mapped_column(default=True)
    """The one that counts: what the clip was last measured and judged as."""
    made: Mapped[Created]


class SetRow(Base):
    """A set of a measurement, and its verdict."""

    __tablename__ = "set"
    __table_args__ = (UniqueConstraint("measurement_id", "n"), {"sqlite_autoincrement": True})

    id: Mapped[Number]
    gym_id: Mapped[GymId]
    measurement_id: Mapped[str] = mapped_column(ForeignKey("measurement.id", ondelete="CASCADE"))
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
        UniqueConstraint("set_id", "kind", "n"),
        Index("ix_effort_athlete", "athlete_id", "current", "done", "id"),
        Index("ix_effort_done", "gym_id", "current", "done", "id"),
        Index("ix_effort_movement", "gym_id", "current", "movement", "done", "id"),
        Index("ix_effort_review", "gym_id", "current", "ruling", "verdict", "done"),
        Index("ix_effort_changed", "gym_id", "changed"),
        # A number is never given twice: a program tool knows an effort by it.
        {"sqlite_autoincrement": True},
    )

    id: Mapped[Number]
    gym_id: Mapped[str] = mapped_column(ForeignKey("gym.id", ondelete="CASCADE"))
    athlete_id: Mapped[str] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    clip_id: Mapped[str] = mapped_column(ForeignKey("clip.id", ondelete="CASCADE"), index=True)
    set_id: Mapped[int] = mapped_column(ForeignKey("set.id", ondelete="CASCADE"))
    kind: Mapped[Kind] = mapped_column(String(4))
    current: Mapped[bool] = mapped_column(default=True)
    """Belongs to its clip's current measurement."""
    n: Mapped[int]
    done: Mapped[datetime]
    """The clip's day and time."""
    week: Mapped[date]
    """The Monday of the week it was done in, by the gym's clock."""
    changed: Mapped[int] = mapped_column(BigInteger)
    """The number of the gym's change that last touched it: the cursor of «what changed since»."""
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
    """Along the floor; none where the athlete's height is not known, because it is then in % of it."""
    sway_u95: Mapped[float | None]
    verdict: Mapped[VerdictWord | None] = mapped_column(String(6))
    """The machine's; a ruling stands beside it."""
    ruling: Mapped[RulingWord | None] = mapped_column(String(12))
    """The newest ruling, kept here too because it is asked for by the million."""
    corrected: Mapped[dict[str, Any] | None] = mapped_column(OptionalJson)
    """What was measured anew after the newest correction, likewise; stands beside the machine's values."""


class CheckRow(Base):
    """One check of a rep or hold, or of a whole set."""

    __tablename__ = "check"

    id: Mapped[Number]
    set_id: Mapped[int] = mapped_column(ForeignKey("set.id", ondelete="CASCADE"), index=True)
    effort_id: Mapped[int | None] = mapped_column(ForeignKey("effort.id", ondelete="CASCADE"), index=True)
    """None where it is the set's own."""
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
