"""Entity tags: GET says in which state a resource was read, and answers 304 if the reader has it; a change says which state it is of."""

from hashlib import sha256
from typing import Annotated

from fastapi import Header, Request
from pydantic import BaseModel
from starlette.responses import Response

from service.api.problems import Problem

IfMatch = Annotated[
    str | None,
    Header(max_length=500, description="ETag of the state that is to be changed, or `*`. Needed here: 428 without it."),
]


def etag(body: bytes | memoryview) -> str:
    """The tag of a representation: a strong one, since it is made of its bytes."""
    return f'"{sha256(body).hexdigest()[:32]}"'


def tagged(request: Request, response: Response) -> Response:
    """The response with its tag, or 304 if the reader has this state already."""
    if response.status_code not in (200, 201) or not hasattr(response, "body") or "etag" in response.headers:
        return response
    tag = etag(response.body)
    response.headers["ETag"] = tag
    if request.method == "GET" and matches(request.headers.get("if-none-match"), tag, weak=True):
        return not_modified(response)
    return response


def not_modified(response: Response) -> Response:
    """304 with the headers that a cache needs."""
    kept = {name: value for name, value in response.headers.items() if name in ("etag", "cache-control", "vary")}
    return Response(status_code=304, headers=kept)


def require_match(if_match: str | None, current: BaseModel) -> None:
    """Let a change through only if it was made from the current state.

    Args:
        if_match: The header If-Match.
        current: The resource, as GET gives it now.

    Raises:
        Problem: 428 without the header, 412 if the resource has changed since.
    """
    if if_match is None:
        raise Problem("no-version")
    if not matches(if_match, etag(current.model_dump_json().encode()), weak=False):
        raise Problem("changed-since")


def matches(header: str | None, tag: str, *, weak: bool) -> bool:
    """Whether a list of tags names this one (RFC 9110, 8.8.3.2: weak comparison for reading, strong for changing)."""
    if header is None:
        return False
    if header.strip() == "*":
        return True
    named = [each.strip() for each in header.split(",")]
    return tag in ([each.removeprefix("W/") for each in named] if weak else named)
