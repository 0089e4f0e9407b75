"""Lists as CSV (RFC 4180), for whoever asks for it by `Accept: text/csv` or `?format=csv`."""

import csv
import io
import json
from collections.abc import Iterable
from typing import Annotated, Any, Final, Literal

from fastapi import Query, Request
from pydantic import BaseModel
from starlette.responses import Response

from service.api.problems import Problem

MEDIA_TYPE: Final = "text/csv"
Format = Annotated[
    Literal["json", "csv"] | None, Query(alias="format", description="As JSON or CSV; left out: as `Accept` says.")
]
ALSO_CSV: Final[dict[int | str, dict[str, Any]]] = {200: {"content": {MEDIA_TYPE: {"schema": {"type": "string"}}}}}


def wants_csv(request: Request, asked: str | None) -> bool:
    """Which of both is asked for; JSON where nothing is said.

    Raises:
        Problem: 406, something else.
    """
    if asked is not None:
        return asked == "csv"
    accepted = [each.partition(";")[0].strip().lower() for each in request.headers.get("accept", "*/*").split(",")]
    for each in accepted:
        if each in ("*/*", "application/*", "application/json"):
            return False
        if each in (MEDIA_TYPE, "text/*"):
            return True
    raise Problem(406, "This is given as application/json or text/csv.")


def as_csv(shape: type[BaseModel], rows: Iterable[BaseModel], request: Request, after: str | None = None) -> Response:
    """Rows under the names of their fields; no value is an empty cell, and what has parts of its own is JSON.

    Args:
        shape: What each row is.
        rows: The rows.
        request: What was asked, for the address of the next page.
        after: The next page's cursor.
    """
    text = io.StringIO(newline="")
    table = csv.DictWriter(text, list(shape.model_fields))
    table.writeheader()
    for row in rows:
        table.writerow({name: _cell(value) for name, value in row.model_dump(mode="json").items()})
    headers = {} if after is None else {"Link": f'<{request.url.include_query_params(after=after)}>; rel="next"'}
    return Response(text.getvalue(), headers=headers, media_type=f"{MEDIA_TYPE}; charset=utf-8; header=present")


def _cell(value: Any) -> Any:
    return json.dumps(value, ensure_ascii=False) if isinstance(value, dict | list) else value
