"""How people and programs come in. Secrets are kept as SHA-256 digests of 256 random bits, never as they are."""

from datetime import datetime

from sqlalchemy import JSON, BigInteger, ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from service.records.base import AthleteId, Base, Created, GymId, Id

DIGEST_LENGTH = 64


class Link(Base):
    """An address that lets one athlete in, to their own clips, until it ends."""

    __tablename__ = "link"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    athlete_id: Mapped[AthleteId]
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH), unique=True)
    expires: Mapped[datetime]
    revoked: Mapped[datetime | None]
    clips_a_day: Mapped[int] = mapped_column(default=40)
    created_by: Mapped[str | None] = mapped_column(ForeignKey("person.id", ondelete="SET NULL"), index=True)
    created: Mapped[Created]


class Session(Base):
    """A signed-in browser: a coach's after the password, an athlete's after the link."""

    __tablename__ = "session"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    person_id: Mapped[str] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"), index=True)
    link_id: Mapped[str | None] = mapped_column(ForeignKey("link.id", ondelete="CASCADE"), index=True)
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH), unique=True)
    created: Mapped[Created]
    last_seen: Mapped[Created]
    expires: Mapped[datetime]
    ended: Mapped[datetime | None]


class Key(Base):
    """A program's key, `pbk_<prefix>_<secret>`; scopes are words like `read:tempo`."""

    __tablename__ = "key"

    id: Mapped[Id]
    gym_id: Mapped[GymId]
    name: Mapped[str] = mapped_column(String(120))
    prefix: Mapped[str] = mapped_column(String(12), unique=True)
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH))
    scopes: Mapped[list[str]] = mapped_column(JSON)
    created: Mapped[Created]
    expires: Mapped[datetime | None]
    revoked: Mapped[datetime | None]
    last_used: Mapped[datetime | None]


class Factor(Base):
    """A coach's second factor: what codes are made of (RFC 6238), as an app on their phone keeps it too."""

    __tablename__ = "factor"

    person_id: Mapped[str] = mapped_column(ForeignKey("person.id", ondelete="CASCADE"), primary_key=True)
    gym_id: Mapped[GymId]
    secret: Mapped[str] = mapped_column(String(64))
    """Base32, as it is: a digest makes no codes."""
    confirmed: Mapped[datetime | None]
    """When a first code came; until then it is asked for nowhere."""
    used: Mapped[int | None] = mapped_column(BigInteger)
    """The time step of the newest code that was taken: none counts twice."""
    created: Mapped[Created]


class Tally(Base):
    """How often something was tried or done since a moment: sign-ins of a login, clips of an athlete."""

    __tablename__ = "tally"

    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH), primary_key=True)
    """Of what is counted: a mistyped login may be a password, and must not stand anywhere."""
    since: Mapped[datetime] = mapped_column(index=True)
    n: Mapped[int]
