"""Write pictures as a phone would: each at its own time, H.264 or 10-bit HEVC, upright or with a rotation flag."""

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from av.video.reformatter import ColorPrimaries, ColorRange, Colorspace, ColorTrc
from numpy.typing import NDArray

from sample_clips.recipe import Phone

TICKS = 90000
"""Ticks per second of the clip's clock."""


def frame_ticks(phone: Phone, seconds: float, seed: int) -> NDArray[np.int64]:
    """When each frame is shown, in ticks (N,). A variable rate wanders, and drops a frame here and there."""
    count = int(seconds * phone.rate + 1e-6)
    if not phone.variable_rate:
        return np.asarray(np.round(np.arange(count) * TICKS / phone.rate), dtype=np.int64)
    generator = np.random.default_rng([seed, 29])
    gaps = (1 + 0.18 * np.sin(np.arange(count) / 23) + generator.normal(0, 0.06, count)) / phone.rate
    gaps = np.where(generator.random(count) < 0.03, 2 * gaps, gaps)
    times = np.concatenate([[0.0], np.cumsum(np.clip(gaps, 0.4 / phone.rate, None))])
    return np.asarray(np.round(times[times < seconds] * TICKS), dtype=np.int64)


def encode(path: Path, phone: Phone, ticks: NDArray[np.int64], pictures: Iterable[NDArray[np.uint8]]) -> None:
    """Write upright pictures (H, W, 3) shown at `ticks`; the file appears complete or not at all."""
    unfinished = path.with_name(f".{path.name}.part")
    try:
        _write(unfinished, phone, ticks, pictures)
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)


def _write(path: Path, phone: Phone, ticks: NDArray[np.int64], pictures: Iterable[NDArray[np.uint8]]) -> None:
    with av.open(str(path), "w", format="mp4", options={"movflags": "+faststart", "fflags": "+bitexact"}) as container:
        stream = _stream(container, phone)
        durations = np.diff(ticks, append=2 * ticks[-1] - ticks[-2])
        for tick, duration, picture in zip(ticks, durations, pictures, strict=True):
            stored = np.ascontiguousarray(np.rot90(picture, phone.rotation // 90))
            frame = av.VideoFrame.from_ndarray(stored, format="rgb24").reformat(
                format=stream.pix_fmt,
                src_colorspace=Colorspace.ITU709,
                dst_colorspace=Colorspace.ITU709,
                dst_color_range=ColorRange.MPEG,
            )
            frame.pts, frame.duration, frame.time_base = int(tick), int(duration), Fraction(1, TICKS)
            container.mux(stream.encode(frame))
        container.mux(stream.encode())


def _stream(container: av.container.OutputContainer, phone: Phone) -> av.VideoStream:
    ten_bit = phone.codec == "hevc10"
    options = {"preset": "medium"} if phone.bit_rate else {"preset": "medium", "crf": str(phone.crf)}
    if ten_bit:
        options |= {"x265-params": "log-level=error:pools=2"}
    stream = container.add_stream("libx265" if ten_bit else "libx264", round(phone.rate), options=options)
    across = phone.rotation % 180 != 0
    stream.width, stream.height = (phone.height, phone.width) if across else (phone.width, phone.height)
    stream.pix_fmt = "yuv420p10le" if ten_bit else "yuv420p"
    context = stream.codec_context
    if phone.bit_rate:
        context.bit_rate = phone.bit_rate
    if ten_bit:
        context.codec_tag = "hvc1"
    stream.time_base = context.time_base = Fraction(1, TICKS)
    context.thread_count = 2
    context.color_range, context.colorspace = ColorRange.MPEG, Colorspace.ITU709
    context.color_trc, context.color_primaries = ColorTrc.BT709, ColorPrimaries.BT709
    if phone.rotation:
        stream.set_display_rotation(-phone.rotation)
    return stream
