"""What the service keeps of its own running."""

from datetime import datetime
from typing import Any, Literal

from sqlalchemy import JSON, BigInteger, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from service.records.base import Base, Created, GymId, Id, OptionalJson


class Audit(Base):
    """Who did what to what. Names and secrets never stand here."""

    __tablename__ = "audit"
    __table_args__ = (Index("ix_audit_gym_made", "gym_id", "made"),)

    id: Mapped[Id]
    gym_id: Mapped[str | None] = mapped_column(ForeignKey("gym.id", ondelete="CASCADE"))
    actor: Mapped[str] = mapped_column(String(8))
    actor_id: Mapped[str | None] = mapped_column(String(22))
    action: Mapped[str] = mapped_column(String(60))
    resource: Mapped[str] = mapped_column(String(30))
    resource_id: Mapped[str | None] = mapped_column(String(40))
    detail: Mapped[dict[str, Any] | None] = mapped_column(OptionalJson)
    made: Mapped[Created]


class Webhook(Base):
    """Where a gym's program tool is told of new results."""

    __tablename__ = "webhook"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    url: Mapped[str] = mapped_column(String(500))
    secret: Mapped[str] = mapped_column(String(80))
    """Signs the messages, so it has to be kept as it is; shown once."""
    events: Mapped[list[str]] = mapped_column(JSON)
    active: Mapped[bool] = mapped_column(default=True)
    created: Mapped[Created]


class Delivery(Base):
    """A message to a webhook, its tries and what came back."""

    __tablename__ = "delivery"
    __table_args__ = (Index("ix_delivery_due", "state", "due"),)

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    webhook_id: Mapped[str] = mapped_column(ForeignKey("webhook.id", ondelete="CASCADE"), index=True)
    event: Mapped[str] = mapped_column(String(40))
    body: Mapped[str] = mapped_column(Text)
    state: Mapped[Literal["due", "done", "given up"]] = mapped_column(String(8), default="due")
    tries: Mapped[int] = mapped_column(default=0)
    due: Mapped[Created]
    answer: Mapped[int | None]
    error: Mapped[str | None] = mapped_column(String(200))
    log: Mapped[list[dict[str, Any]]] = mapped_column(JSON, default=list)
    """Each try: when, how long it took, what was answered or what went wrong."""
    made: Mapped[Created]


class Answered(Base):
    """An answer given to a request with an idempotency key: the same request gets it again."""

    __tablename__ = "answered"
    __table_args__ = (UniqueConstraint("gym_id", "actor_id", "key"),)

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    actor_id: Mapped[str] = mapped_column(String(22))
    key: Mapped[str] = mapped_column(String(100))
    request_sha256: Mapped[str] = mapped_column(String(64))
    status: Mapped[int]
    body: Mapped[str] = mapped_column(Text)
    """Without what is shown only once."""
    location: Mapped[str | None] = mapped_column(String(200))
    made: Mapped[Created] = mapped_column(index=True)


class Beat(Base):
    """The last sign of life of a worker; the watchdog hands on the jobs of one that fell silent."""

    __tablename__ = "beat"

    worker: Mapped[str] = mapped_column(String(80), primary_key=True)
    started: Mapped[datetime]
    seen: Mapped[datetime]


class Deleted(Base):
    """That something was deleted: restoring a backup deletes it again, and a program tool learns of it.

    Holds no more than identifiers that nothing else knows any more, and outlives its gym, so that it points to no table.
    """

    __tablename__ = "deleted"
    __table_args__ = (Index("ix_deleted_changed", "gym_id", "changed"),)

    id: Mapped[Id]
    gym_id: Mapped[str | None] = mapped_column(String(22))
    changed: Mapped[int | None] = mapped_column(BigInteger)
    """As of an effort; None where no result was deleted."""
    resource: Mapped[str] = mapped_column(String(30))
    resource_id: Mapped[str] = mapped_column(String(40), index=True)
    made: Mapped[Created]
