"""Write pictures to a clip that any browser and phone plays, each at its own time."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Final
from uuid import uuid4

import av
import numpy as np
from av.video.reformatter import ColorPrimaries, ColorRange, Colorspace, ColorTrc
from numpy.typing import NDArray

Picture = NDArray[np.uint8]

TICKS: Final = 90000
"""Ticks per second: times are kept to 6 microseconds, and the usual frame rates exactly."""
NOMINAL: Final = 30
"""Frames per second that the encoder plans its rate by; it stands in no time stamp."""


def write_clip(path: Path, frames: Iterable[tuple[float, Picture]]) -> None:
    """Write (time in seconds, RGB picture (H, W, 3)) pairs as H.264 in MP4, the first at 0 and the others after it.

    All pictures must have one size; an odd last row or column is left out, as 4:2:0 asks. The file appears at `path`
    complete or not at all, and carries nothing but the pictures and their times. Raises ValueError when there is no
    frame or a time is not later than the one before it.
    """
    path = Path(path)
    unfinished = path.with_name(f".{path.name}.{uuid4().hex}.part")
    try:
        _encode(unfinished, frames)
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)


def _encode(path: Path, frames: Iterable[tuple[float, Picture]]) -> None:
    # `bitexact` leaves out the program's name and the date, `faststart` lets a browser play before it has all.
    options = {"movflags": "+faststart", "fflags": "+bitexact"}
    with av.open(str(path), "w", format="mp4", options=options) as container:
        stream = None
        for ticks, image in _timed(frames):
            if stream is None:
                stream = _add_stream(container, image)
            picture = av.VideoFrame.from_ndarray(image, format="rgb24")
            picture.pts, picture.time_base = ticks, Fraction(1, TICKS)
            container.mux(stream.encode(_coloured(picture)))
        if stream is None:
            raise ValueError("a clip needs at least one frame")
        container.mux(stream.encode())


def _add_stream(container: av.container.OutputContainer, image: Picture) -> av.VideoStream:
    stream = container.add_stream("h264", NOMINAL, options={"preset": "veryfast", "crf": "20"})
    stream.height, stream.width = image.shape[:2]
    stream.pix_fmt = "yuv420p"
    stream.time_base = stream.codec_context.time_base = Fraction(1, TICKS)
    stream.codec_context.color_range = ColorRange.MPEG
    stream.codec_context.colorspace = Colorspace.ITU709
    stream.codec_context.color_trc = ColorTrc.BT709
    stream.codec_context.color_primaries = ColorPrimaries.BT709
    return stream


def _coloured(picture: av.VideoFrame) -> av.VideoFrame:
    """The picture in the colours that the stream is tagged with."""
    return picture.reformat(
        format="yuv420p",
        src_colorspace=Colorspace.ITU709,
        dst_colorspace=Colorspace.ITU709,
        dst_color_range=ColorRange.MPEG,
    )


def _timed(frames: Iterable[tuple[float, Picture]]) -> Iterator[tuple[int, Picture]]:
    """Ticks since the first frame, and the picture at an even size."""
    start, before = None, -1
    for time, image in frames:
        start = time if start is None else start
        ticks = round((time - start) * TICKS)
        if ticks <= before:
            raise ValueError(f"the frame at {time:g} s is not later than the one before it")
        yield ticks, _even(image)
        before = ticks


def _even(image: Picture) -> Picture:
    height, width = image.shape[:2]
    return np.ascontiguousarray(image[: height // 2 * 2, : width // 2 * 2])
