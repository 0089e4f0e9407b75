"""Parts of a file: `Range` with 206 and 416, so that a browser can play from anywhere.

Source: RFC 9110, section 14. One range at a time; a request for several is answered with the whole, as it allows.
"""

import re
from collections.abc import Mapping
from typing import Final

from fastapi import Request
from starlette.responses import Response, StreamingResponse

from service.api.etags import matches
from service.api.problems import Problem
from service.store import Store

_ONE: Final = re.compile(r"bytes=(\d{0,18})-(\d{0,18})")


def part_of(header: str | None, size: int) -> tuple[int, int] | None:
    """Start and end (not included) of the range that a header asks for; None: all of it.

    Raises:
        Problem: 416, the file has no such bytes.
    """
    found = _ONE.fullmatch(header.replace(" ", "")) if header else None
    if found is None or found[1] == found[2] == "":
        return None
    if found[1] == "":
        start, end = max(0, size - int(found[2])), size
    else:
        start, end = int(found[1]), min(size, int(found[2]) + 1) if found[2] else size
        if found[2] and int(found[2]) < start:
            return None  # no range at all: RFC 9110, 14.1.1
    if start >= end:
        raise Problem(416, f"The file has {size} bytes.", headers={"Content-Range": f"bytes */{size}"})
    return start, end


def send(request: Request, store: Store, key: str, tag: str, media_type: str, name: str) -> Response:
    """A file of the store, or the part of it that is asked for.

    Args:
        request: Says which part, and which state the reader has.
        store: Where it lies.
        key: Under which key.
        tag: Its entity tag.
        media_type: What it is.
        name: What a browser calls it when it is saved; no words of a person's.

    Raises:
        Missing: there is no such file.
        Problem: 416.
    """
    size = store.size(key)
    headers = {
        "Accept-Ranges": "bytes",
        "ETag": tag,
        "Cache-Control": "private, no-cache",
        "Content-Disposition": f'inline; filename="{name}"',
    }
    if matches(request.headers.get("if-none-match"), tag, weak=True):
        return Response(status_code=304, headers={"ETag": tag, "Cache-Control": headers["Cache-Control"]})
    part = part_of(request.headers.get("range"), size) if _still(request.headers, tag) else None
    start, end = part or (0, size)
    headers["Content-Length"] = str(end - start)
    if part is not None:
        headers["Content-Range"] = f"bytes {start}-{end - 1}/{size}"
    status = 200 if part is None else 206
    if request.method == "HEAD":
        return Response(status_code=status, headers=headers, media_type=media_type)
    return StreamingResponse(store.stream(key, start, end), status, headers, media_type)


def _still(headers: Mapping[str, str], tag: str) -> bool:
    """Whether the reader's part is of the file as it is: If-Range."""
    known = headers.get("if-range")
    return known is None or known == tag
