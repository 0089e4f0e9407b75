"""Clips: on their way, and arrived."""

from datetime import datetime
from typing import Any, Literal

from sqlalchemy import JSON, BigInteger, ForeignKey, Index, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from service.records.base import AthleteId, Base, Created, GymId, Id, OptionalJson

State = Literal["waiting", "measuring", "measured", "refused", "failed"]
"""`refused`: the clip cannot be measured, and `reason` says why; `failed`: a fault of ours, after three tries."""


class Upload(Base):
    """A clip on its way. How much has come is the size of its file, and stands nowhere else."""

    __tablename__ = "upload"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    athlete_id: Mapped[AthleteId]
    length: Mapped[int] = mapped_column(BigInteger)
    meta: Mapped[dict[str, str]] = mapped_column(JSON)
    created: Mapped[Created]
    expires: Mapped[datetime]
    clip_id: Mapped[str | None] = mapped_column(ForeignKey("clip.id", ondelete="SET NULL"), index=True)
    """The clip that it became."""


class Clip(Base):
    """A clip that has arrived whole, without the location and the device that its file told of.

    Files lie in the store under `clips/<id>/`; nothing there is named after a person.
    """

    __tablename__ = "clip"
    __table_args__ = (
        Index("ix_clip_gym_arrived", "gym_id", "arrived", "id"),
        Index("ix_clip_athlete_arrived", "athlete_id", "arrived", "id"),
        Index("uq_clip_athlete_source", "athlete_id", "source_sha256", unique=True),
    )

    id: Mapped[Id]
    gym_id: Mapped[str] = mapped_column(ForeignKey("gym.id", ondelete="CASCADE"))
    athlete_id: Mapped[str] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"))
    prescription_version_id: Mapped[str | None] = mapped_column(
        ForeignKey("prescription_version.id", ondelete="SET NULL"), index=True
    )
    movement: Mapped[str | None] = mapped_column(String(60))
    """Where nothing is prescribed; None: whatever it looks like."""
    hold: Mapped[bool | None]
    source_sha256: Mapped[str] = mapped_column(String(64))
    """Of the file as it was sent: the same clip sent twice is one clip."""
    sha256: Mapped[str] = mapped_column(String(64))
    """Of the file as it is kept."""
    bytes: Mapped[int] = mapped_column(BigInteger)
    container: Mapped[str] = mapped_column(String(8))
    """The kept file's ending: mp4, mov, webm, mkv."""
    seconds: Mapped[float]
    filmed: Mapped[datetime | None]
    """As the file or the athlete says; what was done is counted on this day, else on that of arrival."""
    arrived: Mapped[Created]
    expires: Mapped[datetime | None] = mapped_column(index=True)
    """When the clip's files go, with everything drawn from them; its numbers stay until the athlete is deleted."""
    files_gone: Mapped[datetime | None]
    sensor: Mapped[bool] = mapped_column(default=False)
    """Whether roll and pitch of the phone came along."""
    state: Mapped[State] = mapped_column(String(9), default="waiting")
    stage: Mapped[str | None] = mapped_column(String(60))
    progress: Mapped[float] = mapped_column(default=0.0)
    reason: Mapped[str | None] = mapped_column(Text)
    stage_seconds: Mapped[dict[str, Any] | None] = mapped_column(OptionalJson)
    """How long each stage took."""
