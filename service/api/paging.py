"""Lists by page: `?after=CURSOR&limit=N`, and `next` in the answer.

A cursor says after which row the next page begins, so rows that are added meanwhile neither repeat nor hide others.
"""

import base64
import binascii
import json
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Annotated, Any, Final, Generic, TypeVar

from fastapi import Query
from pydantic import BaseModel, Field
from sqlalchemy import Select, literal, tuple_
from sqlalchemy.orm import InstrumentedAttribute
from sqlalchemy.orm import Session as Records

from service.api.problems import Problem
from service.api.shapes.common import EXAMPLE_CURSOR
from service.records.base import UtcTime

MOST: Final = 200
USUAL: Final = 50

Row = TypeVar("Row")
Item = TypeVar("Item", bound=BaseModel)

After = Annotated[
    str | None, Query(max_length=300, description="`next` of the page before; leave it out for the first page.")
]
Limit = Annotated[int, Query(ge=1, le=MOST, description="Items on a page.")]


class Page(BaseModel, Generic[Item]):
    """One page of a list."""

    items: list[Item]
    next: Annotated[
        str | None, Field(description="Cursor of the next page; null on the last one.", examples=[EXAMPLE_CURSOR])
    ] = None


def page(
    records: Records,
    query: Select[Row],
    by: Sequence[InstrumentedAttribute[Any]],
    after: str | None,
    limit: int,
    shape: Callable[[Row], Item],
    *,
    newest_first: bool = False,
) -> Page[Item]:
    """Rows of one table after a cursor, by columns whose values together are unique, as a page.

    Raises:
        Problem: `after` is no cursor of such a list.
    """
    place = tuple_(*by)
    if after is not None:
        start = tuple_(*(literal(value, column.type) for value, column in zip(_read(after, by), by, strict=True)))
        query = query.where(place < start if newest_first else place > start)
    query = query.order_by(*(column.desc() if newest_first else column for column in by)).limit(limit + 1)
    rows = list(records.scalars(query))
    more = len(rows) > limit
    last = rows[limit - 1] if more else None
    cursor = write_cursor([getattr(last, column.key) for column in by]) if last is not None else None
    return Page(items=[shape(row) for row in rows[:limit]], next=cursor)


def write_cursor(values: Sequence[Any]) -> str:
    """Values as text that fits in an address."""
    plain = [value.isoformat() if isinstance(value, datetime) else value for value in values]
    return base64.urlsafe_b64encode(json.dumps(plain, separators=(",", ":")).encode()).decode().rstrip("=")


def read_cursor(cursor: str, *kinds: type) -> list[Any]:
    """The values of a cursor, each of the kind it must be of.

    Raises:
        Problem: it is none.
    """
    try:
        padded = cursor.encode("ascii") + b"=" * (-len(cursor) % 4)
        values = json.loads(base64.b64decode(padded, altchars=b"-_", validate=True))
        return [_as(value, kind) for value, kind in zip(values, kinds, strict=True)]
    except (ValueError, TypeError, binascii.Error, RecursionError) as fault:
        raise Problem("cursor") from fault


def _read(cursor: str, by: Sequence[InstrumentedAttribute[Any]]) -> list[Any]:
    kinds = (datetime if isinstance(column.type, UtcTime) else column.type.python_type for column in by)
    return read_cursor(cursor, *kinds)


def _as(value: object, kind: type) -> Any:
    if kind is datetime and isinstance(value, str):
        moment = datetime.fromisoformat(value)
        if moment.tzinfo is None:
            raise ValueError("a moment needs its time zone")
        return moment
    if (
        type(value) is not kind
        or (isinstance(value, int) and abs(value) >= 2**63)
        or (isinstance(value, str) and "\0" in value)
    ):
        raise ValueError(f"not a {kind.__name__}")
    return value
