"""When a clip was filmed, as its file says."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Final

_TAGS: Final = ("com.apple.quicktime.creationdate", "creation_time")
"""The first knows the phone's time zone; the second is in UTC, or should be."""
_FIRST: Final = datetime(2000, 1, 1, tzinfo=UTC)
"""A phone whose clock was never set says 1904, 1970 or 1980."""


def filmed_at(metadata: Mapping[str, str], now: datetime) -> datetime | None:
    """The moment of filming, or None where the file does not say, or says what cannot be."""
    for tag in _TAGS:
        try:
            said = datetime.fromisoformat(metadata[tag])
        except (KeyError, ValueError):
            continue
        said = said if said.tzinfo else said.replace(tzinfo=UTC)
        if _FIRST <= said <= now + timedelta(days=1):
            return said.astimezone(UTC)
    return None
