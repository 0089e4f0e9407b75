"""When each frame of a clip is shown.

The packets of the usual containers carry the true presentation times, edit lists applied by FFmpeg, so that nothing
need be decoded to know them. Where they cannot be trusted (no stamps, equal stamps, codecs with hidden frames) the clip
is decoded once.
"""

from dataclasses import dataclass
from typing import Final

import av
import numpy as np
from numpy.typing import NDArray

_HIDDEN_FRAMES: Final = {"vp8", "vp9"}
"""Codecs whose packets may hold a frame that is never shown."""
_STAMPED: Final = ("mov", "matroska")
"""Containers (FFmpeg's names begin so) that store a presentation time with every packet."""

VARIES: Final = 0.1
"""A rate varies when an interval between two frames differs from the median interval by more than this share of it."""


@dataclass(frozen=True)
class Track:
    """The packets of one video track, as demuxed."""

    index: int
    stamps: tuple[int | None, ...]
    """Presentation stamps of the packets to be shown, in the order of the file."""


def read_tracks(container: av.container.InputContainer) -> tuple[dict[int, Track], float]:
    """The moving-picture tracks by stream index, and the latest end (s) of any packet of any stream."""
    stamps: dict[int, list[int | None]] = {stream.index: [] for stream in container.streams.video if _is_moving(stream)}
    latest = 0.0
    for packet in container.demux():
        if packet.size == 0:
            continue
        index = packet.stream_index
        if index in stamps and not packet.is_discard:
            stamps[index].append(packet.pts)
        if packet.pts is not None and packet.time_base is not None:
            latest = max(latest, float((packet.pts + (packet.duration or 0)) * packet.time_base))
    return {index: Track(index, tuple(found)) for index, found in stamps.items()}, latest


def packet_stamps(track: Track, container: str, codec: str) -> NDArray[np.int64] | None:
    """The stamps in the order of showing, or None where packets are no witness of what is shown."""
    if not container.startswith(_STAMPED) or codec in _HIDDEN_FRAMES:
        return None
    known = [stamp for stamp in track.stamps if stamp is not None]
    if len(set(known)) < len(track.stamps):
        return None
    return np.array(sorted(known), dtype=np.int64)


def increasing(stamps: NDArray[np.int64]) -> NDArray[np.int64]:
    """Those stamps that are later than all before them: what is stamped no later is never on the screen."""
    if not len(stamps):
        return stamps
    before = np.concatenate([[stamps[0] - 1], np.maximum.accumulate(stamps)[:-1]])
    return stamps[stamps > before]


def rate_mean(times: NDArray[np.float64]) -> float:
    """Mean frames per second between the first and the last of at least two times."""
    return float((len(times) - 1) / (times[-1] - times[0]))


def rate_varies(times: NDArray[np.float64]) -> bool:
    """Whether any interval differs from the median interval by more than VARIES of it."""
    intervals = np.diff(times)
    median = np.median(intervals)
    return bool(np.any(np.abs(intervals - median) > VARIES * median))


def longest_gap(times: NDArray[np.float64]) -> tuple[float, float]:
    """Where the longest interval between two frames begins, and its length, in seconds."""
    intervals = np.diff(times)
    at = int(np.argmax(intervals))
    return float(times[at]), float(intervals[at])


def _is_moving(stream: av.VideoStream) -> bool:
    """Whether a stream can be decoded and is no still picture on the cover of a sound file."""
    # PyAV gives no context to a stream whose codec FFmpeg does not know, though its types say otherwise.
    known = getattr(stream, "codec_context", None) is not None
    return known and not stream.disposition & av.stream.Disposition.attached_pic
