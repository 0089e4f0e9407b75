"""Files that are either whole or not there."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from models.errors import BadInput


class OutputError(BadInput):
    """A result cannot be written where the user asked for it."""


def require_writable(out: Path, clip: Path | None = None) -> None:
    """Refuse a place that cannot be written to, before minutes are spent on measuring.

    Raises:
        OutputError: the folder is missing or closed, `out` is a folder, or it is the clip itself.
    """
    folder = out.absolute().parent
    if not folder.is_dir():
        raise OutputError(f"{out}: there is no folder {folder}; create it or choose another place")
    if out.is_dir():
        raise OutputError(f"{out} is a folder; name a file in it")
    if not os.access(folder, os.W_OK):
        raise OutputError(f"{out}: the folder {folder} cannot be written to; choose another place")
    if clip is not None and out.exists() and clip.exists() and out.samefile(clip):
        raise OutputError(f"{out} is the clip itself; choose another name for the result")


@contextmanager
def writing(out: Path) -> Iterator[None]:
    """Turn a disk's refusal into an error that the user can mend.

    Raises:
        OutputError: the file cannot be written.
    """
    try:
        yield
    except OSError as fault:
        raise OutputError(f"{out} cannot be written: {fault.strerror}; choose another place") from fault


def write_text(out: Path, text: str) -> None:
    """Write `text` as UTF-8; a reader sees the old file or the new one, never a part.

    Raises:
        OutputError: the file cannot be written.
    """
    part = out.with_name(f".{out.name}.{uuid4().hex}.part")
    with writing(out):
        try:
            part.write_text(text, encoding="utf-8")
            part.replace(out)
        finally:
            part.unlink(missing_ok=True)
