"""Clips that the tests make for themselves, of pictures that say which way up they are and which number they have."""

import struct
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Final, cast

import av
import numpy as np
from av.container import OutputContainer
from numpy.typing import NDArray

Picture = NDArray[np.uint8]
DeepPicture = NDArray[np.uint16]

WIDTH: Final = 256
HEIGHT: Final = 192
TICKS: Final = 90000

CORNERS: Final = {
    "top left": (200, 30, 30),
    "top right": (30, 160, 40),
    "bottom left": (40, 50, 200),
    "bottom right": (210, 200, 60),
}
"""RGB of each corner."""

_BITS: Final = 8
_SQUARE: Final = 24


def picture(number: int) -> Picture:
    """A picture (HEIGHT, WIDTH, 3) with the four CORNERS, and its number across the middle: black 0, white 1."""
    image = np.empty((HEIGHT, WIDTH, 3), np.uint8)
    for name, (rows, columns) in _corners(HEIGHT, WIDTH).items():
        image[rows, columns] = CORNERS[name]
    for bit in range(_BITS):
        left = WIDTH // 2 + (bit - _BITS // 2) * _SQUARE
        top = HEIGHT // 2 - _SQUARE // 2
        image[top : top + _SQUARE, left : left + _SQUARE] = 255 * (number >> bit & 1)
    return image


def number_of(image: Picture) -> int:
    """The number that an upright picture of full size carries."""
    middle = image[HEIGHT // 2]
    centres = [WIDTH // 2 + (bit - _BITS // 2) * _SQUARE + _SQUARE // 2 for bit in range(_BITS)]
    return sum(int(middle[centre].mean() > 128) << bit for bit, centre in enumerate(centres))


def corners_of(image: Picture) -> dict[str, str]:
    """Which corner of the upright picture is found in each corner of `image`."""
    found = {}
    for name, (rows, columns) in _corners(*image.shape[:2]).items():
        mean = np.median(image[rows, columns].reshape(-1, 3), axis=0)
        found[name] = min(CORNERS, key=lambda corner: float(np.abs(np.array(CORNERS[corner]) - mean).sum()))
    return found


def regular(count: int, rate: float = 30) -> list[float]:
    """Times (s) of `count` frames at an even rate."""
    return [index / rate for index in range(count)]


def write(
    path: Path,
    times: Sequence[float],
    *,
    pictures: Sequence[Picture | DeepPicture] | None = None,
    codec: str = "libx264",
    pix_fmt: str = "yuv420p",
    options: Mapping[str, str] | None = None,
    container_options: Mapping[str, str] | None = None,
    metadata: Mapping[str, str] | None = None,
    transfer: int | None = None,
    aspect: Fraction | None = None,
    sound: bool = False,
) -> Path:
    """Write a clip whose frame `i` is `picture(i)`, shown at `times[i]`; the container is the one that `path` names."""
    images = pictures or [picture(index) for index in range(len(times))]
    with av.open(str(path), "w", options=dict(container_options or {})) as container:
        container.metadata.update(metadata or {})
        stream = cast("av.VideoStream", container.add_stream(codec, 30, options=dict(options or {})))
        stream.height, stream.width = images[0].shape[:2]
        stream.pix_fmt = pix_fmt
        stream.time_base = stream.codec_context.time_base = Fraction(1, TICKS)
        if aspect is not None:
            stream.codec_context.sample_aspect_ratio = aspect
        if transfer is not None:
            stream.codec_context.color_trc = transfer
            stream.codec_context.color_primaries = stream.codec_context.colorspace = 9  # BT.2020
        track = container.add_stream("aac", 44100) if sound else None
        for time, image in zip(times, images, strict=True):
            frame = av.VideoFrame.from_ndarray(image, format="rgb24" if image.dtype == np.uint8 else "rgb48le")
            if transfer is not None:
                frame = frame.reformat(format=pix_fmt, src_colorspace=9, dst_colorspace=9, dst_color_range=1)
            frame.pts, frame.time_base = round(time * TICKS), Fraction(1, TICKS)
            container.mux(stream.encode(frame))
        container.mux(stream.encode())
        if track is not None:
            _write_silence(container, track, times[-1])
    return path


def write_sound(path: Path, seconds: float) -> Path:
    """Write a file that holds sound and no picture."""
    with av.open(str(path), "w") as container:
        _write_silence(container, container.add_stream("aac", 44100), seconds)
    return path


def patch(path: Path, box: bytes, at: int, content: bytes) -> Path:
    """Overwrite bytes of the first box of a kind, `at` bytes after the box's name."""
    data = bytearray(path.read_bytes())
    start = data.index(box) + len(box) + at
    data[start : start + len(content)] = content
    path.write_bytes(data)
    return path


def set_matrix(path: Path, a: int, b: int, c: int, d: int) -> Path:
    """Set the display matrix of the first track (ISO/IEC 14496-12, 8.3.2) to whole numbers."""
    one = 1 << 16
    return patch(path, b"tkhd", 40, struct.pack(">9i", a * one, b * one, 0, c * one, d * one, 0, 0, 0, 1 << 30))


def set_edit(path: Path, duration_ms: int, media_ticks: int, speed: float = 1) -> Path:
    """Set the one entry of the first edit list: how long it is shown, where it starts in the media, how fast it plays."""
    return patch(path, b"elst", 8, struct.pack(">Iii", duration_ms, media_ticks, round(speed * 65536)))


def samsung_trailer(**entries: bytes) -> bytes:
    """The trailer that Samsung phones add after the movie, with the entries named."""
    kind = b"\x00\x00\x90\x08"
    written = [kind + struct.pack("<I", len(name)) + name.encode() + data for name, data in entries.items()]
    body = b"".join(written)
    head = b"SEFH" + struct.pack("<II", 106, len(written))
    for n, entry in enumerate(written):
        head += kind + struct.pack("<II", sum(map(len, written[n:])), len(entry))
    content = body + head + struct.pack("<I", len(head)) + b"SEFT"
    return struct.pack(">I", len(content) + 8) + b"sefd" + content


def _corners(height: int, width: int) -> dict[str, tuple[slice, slice]]:
    rows = {"top": slice(0, height // 2), "bottom": slice(height // 2, height)}
    columns = {"left": slice(0, width // 2), "right": slice(width // 2, width)}
    return {f"{row} {column}": (rows[row], columns[column]) for row in rows for column in columns}


def _write_silence(container: OutputContainer, stream: av.AudioStream, seconds: float) -> None:
    for start in range(0, int(seconds * 44100), 1024):
        frame = av.AudioFrame.from_ndarray(np.zeros((1, 1024), np.float32), format="fltp", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = 44100, start, Fraction(1, 44100)
        container.mux(stream.encode(frame))
    container.mux(stream.encode())
