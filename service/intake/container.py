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
_CODECS: Final = _WEBM_CODECS | {"h264", "hevc"}
"""What phones and browsers record. Older ones hide text where it is not looked for: pictures of MJPEG know their place."""


def container_of(path: Path, outline: Outline) -> Container:
    """The container to keep the clip in: the one that it came in.

    Raises:
        ClipError: it is no container or no codec that phones and browsers write, or its first bytes say another container
            than its content.
    """
    with path.open("rb") as file:
        head = file.read(64)
    if boxes.is_mp4(path) and outline.format.startswith("mov"):
        found: Container = "mp4" if head[4:8] == b"ftyp" and head[8:12] != b"qt  " else "mov"
    elif head.startswith(_EBML) and outline.format.startswith("matroska"):
        found = "webm" if b"webm" in head and outline.codec in _WEBM_CODECS else "mkv"
    else:
        raise ClipError("The file is no MP4, MOV, WebM or MKV clip; send the clip as the phone saved it.")
    if outline.codec not in _CODECS:
        raise ClipError(f"The clip's picture is coded as {outline.codec}; send it as H.264, HEVC, VP8, VP9 or AV1.")
    return found
