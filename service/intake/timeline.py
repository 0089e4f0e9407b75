"""The packets of a clip's main picture: when each is decoded and shown, and which are never shown."""

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from models.errors import ClipError
from vision.movie import open_file


@dataclass(frozen=True)
class Timeline:
    """One entry for each packet, in the order of the file, in units of the stream's time base."""

    decoded: tuple[int, ...]
    """Rising, and none later than its picture is shown: what every container takes."""
    shown: tuple[int, ...]
    hidden_from: int | None
    """What is shown from then on lies beyond the end of the edit list, and is needed for decoding alone; None: nothing is."""


def read_timeline(path: Path, track: int) -> Timeline:
    """Read the times of one stream's packets.

    Raises:
        ClipError: a packet has no time.
    """
    shown: list[int] = []
    decoded: list[int | None] = []
    visible: list[int] = []
    end = 0
    with open_file(path) as container:
        stream = next(stream for stream in container.streams.video if stream.index == track)
        for packet in container.demux(stream):
            if not packet.size:
                continue
            if packet.pts is None:
                raise ClipError("The clip's pictures carry no times; send the clip as the phone saved it.")
            shown.append(packet.pts)
            decoded.append(packet.dts)
            if not packet.is_discard:
                visible.append(packet.pts)
                end = max(end, packet.pts + (packet.duration or 1))
    beyond = [time for time in shown if visible and time > max(visible)]
    return Timeline(_usable(decoded, shown), tuple(shown), min(end, *beyond) if beyond else None)


def _usable(decoded: list[int | None], shown: list[int]) -> tuple[int, ...]:
    """The decoding times where they can stand; else new ones, which need only keep the packets in order.

    A decoder of reordered pictures works through the sorted times of showing, early enough that none comes too late.
    """
    known = [time for time in decoded if time is not None]
    in_order = all(earlier <= later for earlier, later in pairwise(known))
    if len(known) == len(shown) and in_order and all(d <= s for d, s in zip(known, shown, strict=True)):
        return tuple(known)
    ordered = sorted(shown)
    early = max((o - s for o, s in zip(ordered, shown, strict=True)), default=0)
    return tuple(time - early for time in ordered)
