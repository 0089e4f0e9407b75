"""Cursors: where the next page of an answer begins. They are opaque to whoever gets them, but hold no secret."""

import base64
import binascii
from datetime import datetime
from typing import NamedTuple, Self

from models.errors import BadInput

BIGGEST = 2**63
"""No database counts further."""


class CursorError(BadInput):
    """A cursor that this program has not given out."""


class CursorGone(CursorError):
    """A cursor from before a backup was restored: what changed since cannot be told, only how it is now."""


class Place(NamedTuple):
    """A place in efforts ordered by time."""

    done: datetime
    id: int

    def cursor(self) -> str:
        """The cursor of this place."""
        return _written(self.done.isoformat(), str(self.id))

    @classmethod
    def read(cls, cursor: str) -> Self:
        """The place of a cursor.

        Raises:
            CursorError: it is not one.
        """
        done, number = _parts(cursor)
        try:
            place = cls(datetime.fromisoformat(done), int(number))
        except ValueError:
            raise _unknown() from None
        if place.done.tzinfo is None or not 0 <= place.id < BIGGEST:
            raise _unknown()
        return place


class Seen(NamedTuple):
    """How far a reader has followed one history of changes."""

    history: str
    change: int

    def cursor(self) -> str:
        """The cursor that goes on from here."""
        return _written(self.history, str(self.change))

    @classmethod
    def read(cls, cursor: str) -> Self:
        """What a cursor says was seen.

        Raises:
            CursorError: it is not one.
        """
        history, number = _parts(cursor)
        try:
            change = int(number)
        except ValueError:
            raise _unknown() from None
        return cls(history, change)


def _written(first: str, second: str) -> str:
    return base64.urlsafe_b64encode(f"{first} {second}".encode()).decode().rstrip("=")


def _parts(cursor: str) -> tuple[str, str]:
    try:
        text = base64.b64decode(cursor + "=" * (-len(cursor) % 4), altchars=b"-_", validate=True).decode()
    except (binascii.Error, ValueError):
        raise _unknown() from None
    first, found, second = text.partition(" ")
    if not found:
        raise _unknown()
    return first, second


def _unknown() -> CursorError:
    return CursorError("there is no such cursor: begin again without one")
