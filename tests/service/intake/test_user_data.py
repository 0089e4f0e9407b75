"""Text between pictures is blanked in place; everything beside it keeps its bytes."""

import pytest

from service.intake.user_data import UserData

H264 = UserData("h264", bytes([1, 100, 0, 31, 0xFF]))
HEVC = UserData("hevc", bytes([1]) + bytes(20) + bytes([3, 0]))
SLICE = bytes([0x65, 1, 2, 3])
RECOVERY = bytes([6, 1, 0x84])
"""A recovery point, a message of one byte, which decoders need."""


def escaped(content: bytes) -> bytes:
    """As ITU-T H.264, 7.4.1 asks: a 3 before what would look like a start."""
    out, zeros = bytearray(), 0
    for byte in content:
        if zeros == 2 and byte <= 3:
            out.append(3)
            zeros = 0
        out.append(byte)
        zeros = zeros + 1 if byte == 0 else 0
    return bytes(out)


def message(kind: int, content: bytes) -> bytes:
    size = bytes([255] * (len(content) // 255) + [len(content) % 255])
    return bytes([kind]) + size + content


def packet(*units: bytes) -> bytearray:
    return bytearray(b"".join(len(unit).to_bytes(4, "big") + unit for unit in units))


def blanked(stream: UserData, *units: bytes) -> bytes:
    data = packet(*units)
    stream.blank(memoryview(data))
    return bytes(data)


@pytest.mark.parametrize("text", [b"at home", b"at\0\0\0\0home\0\0\1", b"x" * 700, b"\xff" * 300 + b"\0\0\3home"])
@pytest.mark.parametrize("kind", [4, 5])
def test_text_goes_and_what_follows_stays(kind: int, text: bytes) -> None:
    unit = b"\x06" + escaped(message(kind, text) + RECOVERY + b"\x80")
    after = blanked(H264, unit, SLICE)
    assert len(after) == len(packet(unit, SLICE))
    assert b"home" not in after
    assert b"xx" not in after
    assert after.endswith(bytes(RECOVERY) + b"\x80" + bytes(packet(SLICE)))
    assert after[:6] == bytes(packet(unit, SLICE))[:6]


def test_hevc_has_longer_heads_and_two_kinds_of_units() -> None:
    for kind in (39, 40):
        unit = bytes([kind << 1, 1]) + message(5, b"at home") + b"\x80"
        assert b"home" not in blanked(HEVC, unit)
    other = bytes([1 << 1, 1]) + message(5, b"at home") + b"\x80"
    assert blanked(HEVC, other) == bytes(packet(other))


def test_other_messages_and_pictures_keep_every_byte() -> None:
    units = [b"\x06" + message(1, b"timing") + RECOVERY + b"\x80", SLICE, bytes([0x67, 5, 7, 5, 4, 4])]
    assert blanked(H264, *units) == bytes(packet(*units))


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\0",
        b"\0\0\0\0",
        b"\0\0\0\x09\x06\x05",
        b"\xff" * 40,
        b"\0\0\0\x02\x06\xff",
        b"\0\0\0\x04\x06\x05\xff\xff",
    ],
)
def test_broken_packets_do_no_harm(data: bytes) -> None:
    held = bytearray(data)
    H264.blank(memoryview(held))
    assert len(held) == len(data)


def test_a_stream_that_is_described_otherwise_is_left_alone() -> None:
    unit = b"\x06" + message(5, b"at home") + b"\x80"
    for codec, described in (("vp9", b""), ("h264", b"\0\0\0\1\x67"), ("av1", bytes([0x81, 0, 0, 0]))):
        stream = UserData(codec, described)
        assert blanked(stream, unit) == bytes(packet(unit))
        assert stream.blank_description(described) == described
