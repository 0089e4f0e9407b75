"""The beginning of a clip, its packets as they are."""

from pathlib import Path

import av


def beginning(clip: Path, seconds: float, out: Path) -> Path:
    """Write the first so many seconds of a clip; they begin with its first key frame, as clips do."""
    with av.open(str(clip)) as source, av.open(str(out), "w") as written:
        track = source.streams.video[0]
        copy = written.add_stream_from_template(track)
        for packet in source.demux(track):
            if packet.pts is not None and float(packet.pts * packet.time_base) < seconds:
                packet.stream = copy
                written.mux(packet)
    return out
