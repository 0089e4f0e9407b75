"""What all tables share: the declarative base, identifiers, times."""

import secrets
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Annotated, Any

from sqlalchemy import JSON, BigInteger, DateTime, Dialect, ForeignKey, Integer, MetaData, String, TypeDecorator
from sqlalchemy.orm import DeclarativeBase, mapped_column

ID_LENGTH = 22


def new_id() -> str:
    """An identifier that cannot be guessed: 128 random bits, fit for an address."""
    return secrets.token_urlsafe(16)


def now() -> datetime:
    """This moment, in UTC."""
    return datetime.now(UTC)


class UtcTime(TypeDecorator[datetime]):
    """A moment; SQLite forgets zones, so that it is stored and read as UTC everywhere."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """To the database: always UTC."""
        if value is not None and value.tzinfo is None:
            raise ValueError("a moment needs its time zone")
        return value and value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """From the database: always in UTC."""
        return value and value.astimezone(UTC)

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], datetime | None] | None:
        """SQLite keeps text, which is read at once as UTC: an athlete's year has thousands of moments."""
        return _from_text if dialect.name == "sqlite" else super().result_processor(dialect, coltype)


def _from_text(value: str | None) -> datetime | None:
    return None if value is None else datetime.fromisoformat(f"{value}+00:00")


class Base(DeclarativeBase):
    """All tables. Names of constraints are fixed, because a migration must be able to name them on SQLite."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_label)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s",
            "pk": "pk_%(table_name)s",
        }
    )
    type_annotation_map = {datetime: UtcTime}  # noqa: RUF012 -- SQLAlchemy's own attribute


OptionalJson = JSON(none_as_null=True)
"""For columns that may be empty: None is NULL, as everywhere else."""

Id = Annotated[str, mapped_column(String(ID_LENGTH), primary_key=True, default=new_id)]
Number = Annotated[int, mapped_column(BigInteger().with_variant(Integer, "sqlite"), primary_key=True)]
"""A number that the database gives. SQLite counts by itself in INTEGER columns only."""
GymId = Annotated[str, mapped_column(ForeignKey("gym.id", ondelete="CASCADE"), index=True)]
AthleteId = Annotated[str, mapped_column(ForeignKey("person.id", ondelete="CASCADE"), index=True)]
Created = Annotated[datetime, mapped_column(default=now)]
