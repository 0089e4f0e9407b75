"""Blank what encoders and cameras write between the pictures of H.264 and HEVC: free text, positions, captions.

It stands in SEI messages (ITU-T H.264 and H.265, annex D): `user_data_registered_itu_t_t35` and `user_data_unregistered`.
They are overwritten where they are, so that no byte moves and nothing else changes.
"""

from collections.abc import Iterator
from typing import Final

_USER_DATA: Final = {4, 5}
_KINDS: Final = {"h264": {6}, "hevc": {39, 40}}
"""Types of units that hold SEI messages."""
_FILLER: Final = 0xFF


class UserData:
    """Finds and blanks it in one stream, which is described by its codec and by what its container says beside it."""

    def __init__(self, codec: str, described: bytes) -> None:
        at = {"h264": 4, "hevc": 21}.get(codec)
        self._codec = codec
        # Only the records of ISO/IEC 14496-15, which begin with their version, say how lengths are written.
        known = at is not None and len(described) > at and described[0] == 1
        self._length = (described[at] & 3) + 1 if known and at is not None else 0

    def blank(self, data: memoryview) -> None:
        """Blank it in a packet, in place."""
        at = 0
        while self._length and at + self._length < len(data):
            start = at + self._length
            at = start + int.from_bytes(data[at:start], "big")
            self._blank_unit(data[start : min(at, len(data))])

    def blank_description(self, described: bytes) -> bytes:
        """The description of the stream with its own units blanked; those of H.264 hold none."""
        if self._codec != "hevc" or not self._length:
            return described
        data = memoryview(bytearray(described))
        at = 23
        for _ in range(data[22] if len(data) > 22 else 0):
            count, at = int.from_bytes(data[at + 1 : at + 3], "big"), at + 3
            for _ in range(count):
                start = at + 2
                at = start + int.from_bytes(data[at:start], "big")
                self._blank_unit(data[start : min(at, len(data))])
        return bytes(data)

    def _blank_unit(self, unit: memoryview) -> None:
        if len(unit) < 2:
            return
        hevc = self._codec == "hevc"
        kind = unit[0] >> 1 & 0x3F if hevc else unit[0] & 0x1F
        if kind in _KINDS[self._codec]:
            _blank_messages(unit[2 if hevc else 1 :])


def _blank_messages(unit: memoryview) -> None:
    written, kept = _places(unit)
    for kind, start, end in _messages(bytes(unit[place] for place in written)):
        if kind in _USER_DATA:
            for place in written[start:end]:
                if place not in kept:
                    unit[place] = _FILLER


def _places(unit: memoryview) -> tuple[list[int], set[int]]:
    """Where the message's bytes stand, and which must stay: zeros that a 3 follows, which is not one of its bytes."""
    written: list[int] = []
    kept: set[int] = set()
    zeros = 0
    for place, byte in enumerate(unit):
        if zeros >= 2 and byte == 3:
            kept |= {place - 1, place - 2}
            zeros = 0
            continue
        written.append(place)
        zeros = zeros + 1 if byte == 0 else 0
    return written, kept


def _messages(content: bytes) -> Iterator[tuple[int, int, int]]:
    """Kind, start and end of each message; what announces more than there is ends with what there is."""
    at = 0
    while at + 2 < len(content):
        kind, at = _number(content, at)
        size, at = _number(content, at)
        yield kind, at, at + size
        at += size


def _number(content: bytes, at: int) -> tuple[int, int]:
    """A number written as so many 255s and a rest, and where it ends."""
    total = 0
    while at < len(content) and content[at] == 0xFF:
        total, at = total + 255, at + 1
    return total + (content[at] if at < len(content) else 0), at + 1
