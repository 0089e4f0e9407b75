"""What a video file holds: its main track, when each of its pictures is shown, and how to decode them.

All of it as stored; turning, colours, real time and limits are the business of `vision.clip`.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import numpy as np
from av.container import InputContainer
from numpy.typing import NDArray

from models.errors import ClipError
from vision import boxes, timing

LARGEST: Final = 8192 * 4608
"""Pixels of a frame, a little above 8K: more is a damaged header, or an attempt to fill the memory."""

_SAFE: Final = {
    "format_whitelist": "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts,mpeg,asf,flv,ogg",
    "protocol_whitelist": "file",
}
"""What may be opened: files that hold their own pictures and times, not playlists that lead to other files."""
_SELF_TIMED: Final = ("mov", "mpegts", "mpeg")
"""Containers (FFmpeg's names begin so) whose length is found from what is there, so that it cannot betray a loss."""
_LOSS: Final = 0.5
"""Seconds that a header may announce beyond the last packet before the file is taken as cut off."""
_CUT_OFF: Final = "The clip is cut off: {}; copy or upload it again, whole."


@dataclass(frozen=True)
class Outline:
    """What a video file's headers and packets tell of it; no picture is decoded for it."""

    format: str
    """FFmpeg's names of the container, with commas between them."""
    codec: str
    track: timing.Track
    """The main stream: the one that is measured."""
    tracks: int
    """How many moving pictures the file holds."""
    width: int
    height: int
    time_base: Fraction
    aspect: float
    """Width of a pixel over its height."""
    metadata: Mapping[str, str]


@dataclass(frozen=True, eq=False)
class Movie:
    """A video file, as stored."""

    path: Path
    codec: str
    track: int
    """Index of the main stream in the file."""
    tracks: int
    """How many moving pictures the file holds."""
    stamps: NDArray[np.int64]
    """(N,) when each picture is shown, strictly increasing, in units of `time_base` seconds."""
    time_base: float
    hidden: int
    """Decoded pictures that are stamped no later than one before them, and so are never seen."""
    first: av.VideoFrame
    aspect: float
    """Width of a pixel over its height."""
    metadata: Mapping[str, str]


def read_movie(path: Path) -> Movie:
    """Read what a video file holds.

    Raises ClipError when it is missing, cut off, damaged at its start, or holds no moving picture.
    """
    found = outline(path)
    stamps = timing.packet_stamps(found.track, found.format, found.codec)
    hidden = 0
    if stamps is None:
        decoded = _decoded_stamps(path, found.track.index)
        stamps = timing.increasing(decoded)
        hidden = len(decoded) - len(stamps)
    first, start = _first(path, found.track.index)
    # A decoder that starts between key frames shows nothing until the first picture that it can complete.
    stamps = stamps[stamps >= start]
    if len(stamps) < 2:
        raise ClipError("The file holds a single picture, not a clip; give a video.")
    return Movie(
        path,
        found.codec,
        found.track.index,
        found.tracks,
        stamps,
        float(found.time_base),
        hidden,
        first,
        found.aspect,
        found.metadata,
    )


def outline(path: Path) -> Outline:
    """Read what a video file's headers and packets tell.

    Raises ClipError when it is missing, cut off, or holds no moving picture.
    """
    _check_file(path)
    with open_file(path) as container:
        tracks, latest = _tracks(container)
        _check_whole(container, latest)
        track = _main(container, tracks)
        stream = _stream(container, track.index)
        if stream.width * stream.height > LARGEST:
            raise ClipError(f"The picture is {stream.width} x {stream.height} pixels; film in 4K or less.")
        return Outline(
            format=container.format.name,
            codec=stream.codec.canonical_name,
            track=track,
            tracks=len(tracks),
            width=stream.width,
            height=stream.height,
            time_base=stream.time_base or Fraction(0),
            aspect=float(stream.sample_aspect_ratio or 1),
            metadata=dict(container.metadata) | dict(stream.metadata),
        )


def decode(path: Path, track: int) -> Iterator[av.VideoFrame]:
    """The pictures of one stream in the order of showing, hidden and repeated ones included.

    Raises av.FFmpegError where the data cannot be decoded.
    """
    with open_file(path) as container:
        stream = _stream(container, track)
        stream.thread_type = "AUTO"
        # Fail on damage instead of painting over it: a limb in a patched picture is not where it was.
        stream.codec_context.options = {"err_detect": "explode"}
        yield from container.decode(stream)


@contextmanager
def open_file(path: Path) -> Iterator[InputContainer]:
    """A video file, opened so that nothing but itself is read.

    Raises ClipError when it is none.
    """
    try:
        # Metadata are not all UTF-8; what cannot be read in them is no reason to refuse a clip.
        container = av.open(f"file:{path}", metadata_errors="replace", options=_SAFE)
    except av.FFmpegError as error:
        raise ClipError(_unreadable(path)) from error
    with container:
        yield container


def _tracks(container: InputContainer) -> tuple[dict[int, timing.Track], float]:
    try:
        return timing.read_tracks(container)
    except av.FFmpegError as error:
        raise ClipError("The clip's file is damaged; copy or upload it again.") from error


def _stream(container: InputContainer, index: int) -> av.VideoStream:
    return next(stream for stream in container.streams.video if stream.index == index)


def _check_file(path: Path) -> None:
    if not path.exists():
        raise ClipError(f"There is no file {path}; check its name.")
    if path.is_dir():
        raise ClipError(f"{path} is a folder; name one clip in it.")
    try:
        with path.open("rb") as file:
            empty = not file.read(1)
    except OSError as error:
        raise ClipError(f"{path} cannot be read: {error.strerror}; check its permissions.") from error
    if empty:
        raise ClipError("The file is empty; copy or upload the clip again.")
    if missing := boxes.missing_bytes(path):
        raise ClipError(_CUT_OFF.format(f"its last {missing:,} bytes are missing"))


def _unreadable(path: Path) -> str:
    if boxes.is_mp4(path) and not boxes.has_index(path):
        return _CUT_OFF.format("its index, which is written last, is missing")
    return "The file is not a video that can be read; give a clip as the phone saved it, such as MP4 or MOV."


def _check_whole(container: InputContainer, latest: float) -> None:
    """Where the header announces a length, the packets must reach it."""
    if container.duration is None or container.format.name.startswith(_SELF_TIMED):
        return
    announced = container.duration / av.time_base + max(0, (container.start_time or 0) / av.time_base)
    if announced - latest > _LOSS:
        raise ClipError(_CUT_OFF.format(f"it announces {announced:.1f} s and holds {latest:.1f} s"))


def _main(container: InputContainer, tracks: Mapping[int, timing.Track]) -> timing.Track:
    """The track with the most pictures, of equals the largest: phones add short tracks of large stills."""
    if not tracks:
        raise ClipError("The file holds no moving picture that can be read; give a video as the phone saved it.")

    def size(track: timing.Track) -> tuple[int, int]:
        stream = _stream(container, track.index)
        return len(track.stamps), stream.width * stream.height

    return max(tracks.values(), key=size)


def _first(path: Path, track: int) -> tuple[av.VideoFrame, int]:
    """The first picture that has a time, and that time."""
    try:
        for picture in decode(path, track):
            if picture.pts is not None:
                return picture, picture.pts
    except av.FFmpegError as error:
        raise ClipError("The clip's first picture is damaged; copy or upload it again.") from error
    raise ClipError("No picture of the clip can be decoded; copy or upload it again.")


def _decoded_stamps(path: Path, track: int) -> NDArray[np.int64]:
    try:
        stamps = [picture.pts for picture in decode(path, track)]
    except av.FFmpegError as error:
        raise ClipError("The clip's picture is damaged; copy or upload it again.") from error
    if None in stamps:
        raise ClipError("The clip's pictures carry no times; give the clip as the phone saved it.")
    return np.array(stamps, dtype=np.int64)
