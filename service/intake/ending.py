"""The end of an MP4 or QuickTime file's edit list (ISO/IEC 14496-12, `elst`).

FFmpeg's muxer lets an edit run to the end of the media; packets beyond the end of the source's own edit, which decoding
needs, would come to be shown.
"""

import struct
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO, Final

_PATH: Final = (b"moov", b"trak", b"edts", b"elst")


def end_at(path: Path, end: int) -> None:
    """Let the last edit of a file with one track end at `end`, in units of its movie's time scale.

    Raises:
        ValueError: the file has no edit list.
    """
    with path.open("r+b") as file:
        start, stop = 0, file.seek(0, 2)
        for kind in _PATH:
            start, stop = next((s, e) for k, s, e in _boxes(file, start, stop) if k == kind)
        file.seek(start)
        version, count = struct.unpack(">B3xI", file.read(8))
        entry = struct.Struct(">Qqi" if version else ">Iii")
        entries = [entry.unpack(file.read(entry.size)) for _ in range(count)]
        before = sum(duration for duration, _, _ in entries[:-1])
        _, media_time, rate = entries[-1]
        file.seek(start + 8 + entry.size * (count - 1))
        file.write(entry.pack(end - before, media_time, rate))


def _boxes(file: BinaryIO, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Kind, start and end of the content of each box, of a file that this program wrote."""
    while start + 8 <= end:
        file.seek(start)
        size, kind = struct.unpack(">I4s", file.read(8))
        header = 8
        if size == 1:
            size, header = struct.unpack(">Q", file.read(8))[0], 16
        yield kind, start + header, start + size
        start += size
