"""Copy the picture of a clip, and nothing else, into a new file.

No picture is coded anew. What stays is what measuring needs: the pictures, their times, how they are turned, their
colours, and the rate of the sensor of a slow-motion clip. All else that phones write stays behind: location, device,
software, dates, comments, sound, tracks of positions, covers.
"""

from pathlib import Path
from typing import Final

import av
from av.container import InputContainer, OutputContainer

from models.errors import ClipError
from service.intake.ending import end_at
from service.intake.facts import Container
from service.intake.timeline import Timeline, read_timeline
from service.intake.user_data import UserData
from vision.movie import Outline, open_file
from vision.slow_motion import CAPTURE_RATE

_MP4: Final = {"mp4", "mov"}


def strip(source: Path, outline: Outline, container: Container, to: Path) -> None:
    """Write the main picture of `source` to `to`.

    Raises:
        ClipError: its container cannot hold it as it is.
    """
    timeline = read_timeline(source, outline.track.index)
    name = "matroska" if container == "mkv" else container
    try:
        with open_file(source) as old, av.open(str(to), "w", name, options=_options(outline, container)) as new:
            if container in _MP4 and CAPTURE_RATE in outline.metadata:
                new.metadata[CAPTURE_RATE] = outline.metadata[CAPTURE_RATE]
            _copy(old, outline, timeline, new)
    except (av.FFmpegError, ValueError) as fault:
        raise ClipError(
            f"The clip's picture ({outline.codec}) cannot be copied out of its file; send it as MP4 with H.264 or HEVC."
        ) from fault
    if container in _MP4 and timeline.hidden_from is not None:
        end_at(to, timeline.hidden_from * outline.time_base.numerator)


def _options(outline: Outline, container: Container) -> dict[str, str]:
    bare = {"fflags": "+bitexact"}  # names no program and no date
    if container not in _MP4:
        return bare
    return bare | {
        "movflags": "+use_metadata_tags",  # the one tag that is kept has no place of its own in MP4
        "movie_timescale": str(outline.time_base.denominator),  # edits to the frame, not to the thousandth
    }


def _copy(old: InputContainer, outline: Outline, timeline: Timeline, new: OutputContainer) -> None:
    track = next(stream for stream in old.streams.video if stream.index == outline.track.index)
    copied = new.add_stream_from_template(track, opaque=True)
    copied.time_base = track.time_base
    copied.metadata.clear()
    if track.sample_aspect_ratio:  # what the container says of it; the codec may say another
        copied.codec_context.sample_aspect_ratio = track.sample_aspect_ratio
    if new.format.name in _MP4:
        copied.codec_context.codec_tag = track.codec_context.codec_tag  # HEVC would get one that Safari does not play
    described = bytes(track.codec_context.extradata or b"")
    user_data = UserData(outline.codec, described)
    if described:
        copied.codec_context.extradata = user_data.blank_description(described)
    packets = (packet for packet in old.demux(track) if packet.size)
    for packet, time in zip(packets, timeline.decoded, strict=True):
        user_data.blank(memoryview(packet))
        packet.dts = time
        packet.stream = copied
        new.mux(packet)
