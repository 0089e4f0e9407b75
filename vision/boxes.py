"""The boxes of an MP4 or QuickTime file (ISO/IEC 14496-12), read for what FFmpeg keeps to itself.

Two things only: whether the file holds all the bytes that it announces, and the pieces and speeds of its edit list.
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

_START: Final = {b"ftyp", b"moov", b"mdat", b"free", b"skip", b"wide", b"styp"}
"""Kinds that such a file begins with."""
_MATTER: Final = {b"moov", b"mdat", b"moof"}
"""Kinds without which frames are missing."""


@dataclass(frozen=True)
class Box:
    """One box: its kind and where its content lies in the file. `end` may lie beyond the end of a cut-off file."""

    kind: bytes
    start: int
    end: int


@dataclass(frozen=True)
class Edit:
    """One entry of an edit list: `speed` 1 plays the media as stamped, 0 holds one frame; `empty` shows nothing."""

    empty: bool
    speed: float


def is_mp4(path: Path) -> bool:
    """Whether the file begins as MP4 or QuickTime files do."""
    with path.open("rb") as file:
        return file.read(8)[4:] in _START


def has_index(path: Path) -> bool:
    """Whether the file holds a `moov` box, without which no frame can be found."""
    with path.open("rb") as file:
        return any(box.kind == b"moov" for box in _top(file))


def missing_bytes(path: Path) -> int:
    """How many bytes an MP4, QuickTime or AVI file announces beyond its end; 0 when it is whole, or another kind."""
    size = path.stat().st_size
    with path.open("rb") as file:
        head = file.read(8)
        if head[:4] == b"RIFF" and len(head) == 8:  # AVI: one chunk around everything, its length little-endian
            return max(0, 8 + int(struct.unpack("<I", head[4:])[0]) - size)
        return max(0, max((box.end for box in _top(file) if box.kind in _MATTER), default=0) - size)


def video_edits(path: Path) -> tuple[tuple[Edit, ...], ...]:
    """The edit list of each video track that has one, in file order."""
    with path.open("rb") as file:
        tracks = [track for moov in _top(file) if moov.kind == b"moov" for track in _inside(file, moov, b"trak")]
        lists = [
            box
            for track in tracks
            if _handler(file, track) == b"vide"
            for edts in _inside(file, track, b"edts")
            for box in _inside(file, edts, b"elst")
        ]
        return tuple(_edits(file, box) for box in lists)


def _top(file: BinaryIO) -> Iterator[Box]:
    for box in _boxes(file, 0, file.seek(0, 2)):
        if not box.kind.isalnum():
            return  # a phone's own trailer, which is no box
        yield box


def _inside(file: BinaryIO, parent: Box, kind: bytes) -> list[Box]:
    return [box for box in _boxes(file, parent.start, parent.end) if box.kind == kind]


def _boxes(file: BinaryIO, start: int, end: int) -> Iterator[Box]:
    while start + 8 <= end:
        file.seek(start)
        head = file.read(8)
        if len(head) < 8:
            return
        size, kind = struct.unpack(">I4s", head)
        header = 8
        if size == 1:
            large = file.read(8)
            if len(large) < 8:
                return
            (size,) = struct.unpack(">Q", large)
            header = 16
        elif size == 0:
            size = end - start
        if size < header:
            return
        yield Box(kind, start + header, start + size)
        start += size


def _handler(file: BinaryIO, track: Box) -> bytes:
    """What a track holds: `vide`, `soun` ..."""
    for media in _inside(file, track, b"mdia"):
        for box in _inside(file, media, b"hdlr"):
            file.seek(box.start + 8)
            return file.read(4)
    return b""


def _edits(file: BinaryIO, box: Box) -> tuple[Edit, ...]:
    file.seek(box.start)
    content = file.read(min(box.end - box.start, 1 << 20))
    entry = struct.Struct(">Qqi" if content[:1] == b"\x01" else ">Iii")
    whole = len(content[8:]) // entry.size * entry.size
    return tuple(Edit(time == -1, rate / 65536) for _, time, rate in entry.iter_unpack(content[8 : 8 + whole]))
