"""Which container a file is, told by its first bytes and not by its name."""

from pathlib import Path
from typing import Final

from models.errors import ClipError
from service.intake.facts import Container
from vision import boxes
from vision.movie import Outline

_EBML: Final = b"\x1a\x45\xdf\xa3"
"""How Matroska and WebM files begin (RFC 8794)."""
_WEBM_CODECS: Final = {"vp8", "vp9", "av1"}


def container_of(path: Path, outline: Outline) -> Container:
    """The container to keep the clip in: the one that it came in.

    Raises:
        ClipError: it is no container that phones and browsers write, or its first bytes say another one than its content.
    """
    with path.open("rb") as file:
        head = file.read(64)
    if boxes.is_mp4(path) and outline.format.startswith("mov"):
        return "mp4" if head[4:8] == b"ftyp" and head[8:12] != b"qt  " else "mov"
    if head.startswith(_EBML) and outline.format.startswith("matroska"):
        return "webm" if b"webm" in head and outline.codec in _WEBM_CODECS else "mkv"
    raise ClipError("The file is no MP4, MOV, WebM or MKV clip; send the clip as the phone saved it.")
