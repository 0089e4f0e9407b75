"""Whether a clip's time stamps are real time, by the tags that phones leave.

- Android writes `com.android.capture.fps`, the rate of the sensor, into the file's metadata. Where stamps lie k times
  further apart than the sensor's frames, the clip plays k times slower than life.
- Samsung adds a trailer after the movie (bytes `SEFH` ... `SEFT`): `SlowMotion_Data` lists stretches to be shown slowly,
  which says nothing about the stamps, and `Super_SlowMotion_Data` stretches that were filmed faster than the rest.
- QuickTime and MP4 edit lists can play the media at another speed.
"""

import re
import struct
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.errors import ClipError
from vision.boxes import Edit

CAPTURE_RATE: Final = "com.android.capture.fps"
HIGH_SPEED: Final = 100.0
"""Frames per second from which a camera runs at a fixed rate; below it, darkness alone can halve the rate."""
SAME: Final = 1.5
"""Stamps up to this many times further apart (or nearer) than the sensor's frames are taken as real time."""
WHOLE: Final = 0.05
"""How near to a whole number (share of it) the slowing must be to be believed."""

_LONGEST_TRAILER: Final = 1 << 20


@dataclass(frozen=True)
class Pace:
    """How a clip's clock runs: `scale` real seconds for each second of its stamps, and a note where that is not 1."""

    scale: float = 1
    note: str | None = None


def pace(
    seconds: NDArray[np.float64], metadata: Mapping[str, str], edits: Iterable[Edit], trailer: Mapping[str, bytes]
) -> Pace:
    """The pace of a clip from its stamps (N,) in seconds, its metadata, its edit list and its trailer.

    Raises ClipError when the clip is slowed or hurried and its tags do not say by how much.
    """
    if any(edit.speed not in (0, 1) for edit in edits if not edit.empty):
        raise ClipError("The clip's edit list plays part of it at another speed; give the clip as it was filmed.")
    if "Super_SlowMotion_Data" in trailer:
        raise ClipError(
            f"Part of the clip{_stretch(trailer['Super_SlowMotion_Data'])} is super slow motion, and its tag does not say "
            "how slow; film at normal speed."
        )
    rate = _capture_rate(metadata)
    if rate is not None:
        return _by_rate(seconds, rate)
    if "SlowMotion_Data" in trailer:
        raise ClipError(
            "The clip is tagged as slow motion, and its tag does not say how fast it was filmed; film at normal speed."
        )
    return Pace()


def read_trailer(path: Path) -> dict[str, bytes]:
    """The named entries of a Samsung trailer; empty when the file has none.

    The file ends with the directory, its length (little-endian, 4 bytes) and `SEFT`. The directory is `SEFH`, a version,
    the number of entries, and for each its type, how far before the directory it lies, and its size. An entry is its
    type, the length of its name, its name and its data.
    """
    with path.open("rb") as file:
        size = file.seek(0, 2)
        file.seek(max(0, size - _LONGEST_TRAILER))
        tail = file.read()
    if tail[-4:] != b"SEFT" or len(tail) < 8:
        return {}
    (length,) = struct.unpack("<I", tail[-8:-4])
    start = len(tail) - 8 - length
    if start < 0 or tail[start : start + 4] != b"SEFH":
        return {}
    found = {}
    for _, back, size in struct.iter_unpack("<4sII", tail[start + 12 : start + 12 + (length - 12) // 12 * 12]):
        entry = tail[max(0, start - back) : max(0, start - back + size)]
        if len(entry) >= 8:
            (named,) = struct.unpack("<I", entry[4:8])
            found[entry[8 : 8 + named].decode("ascii", "replace")] = entry[8 + named :]
    return found


def _capture_rate(metadata: Mapping[str, str]) -> float | None:
    try:
        rate = float(metadata[CAPTURE_RATE])
    except (KeyError, ValueError):
        return None
    return rate if np.isfinite(rate) and rate > 0 else None


def _by_rate(seconds: NDArray[np.float64], rate: float) -> Pace:
    # The shortest usual interval: a rate that fell only part of the time leaves it as it was.
    interval = float(np.quantile(np.diff(seconds), 0.1))
    slowing = interval * rate
    if 1 / SAME < slowing < SAME:
        return Pace()
    filmed, played = f"filmed at {rate:.4g} frames/s", f"stored to play at {1 / interval:.3g}"
    times = round(slowing)
    if rate >= HIGH_SPEED and times >= 2 and abs(slowing - times) <= WHOLE * times:
        return Pace(
            1 / times,
            f"Slow motion, {filmed} and {played}: all times are real times, {times} times shorter than shown.",
        )
    kind = "slow motion" if slowing > 1 else "time lapse"
    raise ClipError(
        f"The clip's tag says that it was {filmed}, but it is {played}: it may be {kind}; film at normal speed."
    )


def _stretch(data: bytes) -> str:
    """The first stretch that a super slow motion entry names in milliseconds, as words; nothing when it names none."""
    stretch = re.match(rb"(\d+):(\d+)", data)
    return f" ({int(stretch[1]) / 1000:.1f} s to {int(stretch[2]) / 1000:.1f} s)" if stretch else ""
