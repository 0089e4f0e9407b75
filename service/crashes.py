"""What a crashed child process said, in one line: enough to find the fault by, too little for a clip's content to leak."""

from typing import Final

TAIL: Final = 2000
"""Bytes of what it wrote that are worth reading."""
LONGEST: Final = 300


def last_line(said: bytes) -> str:
    """The last line that is not empty, cut short; nothing where there is none."""
    lines = [line.strip() for line in said[-TAIL:].decode(errors="replace").split("\n")]
    return next((line[:LONGEST] for line in reversed(lines) if line), "")
