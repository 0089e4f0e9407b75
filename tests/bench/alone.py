"""One task on one clip in a process of its own, to be timed from outside: `python -m tests.bench.alone TASK CLIP`."""

import time

STARTED = time.perf_counter()

import json  # noqa: E402
import sys  # noqa: E402
from pathlib import Path  # noqa: E402


def decode(clip: Path) -> None:
    """Every frame, as the decoder leaves it: neither scaled nor turned into RGB."""
    import av

    with av.open(str(clip)) as container:
        stream = container.streams.video[0]
        stream.thread_type = "AUTO"
        for _ in container.decode(stream):
            pass


def video(clip: Path) -> None:
    """The landmark model on every frame in MediaPipe's video mode."""
    from tests.bench.video_mode import landmarks

    landmarks(clip)


def measure(clip: Path) -> None:
    """The whole measurement."""
    from tests.bench import accuracy, truth

    accuracy.measure(clip, truth.read_truth(clip))


def stages(clip: Path) -> None:
    """The same, with the time that each stage took."""
    from tests.bench.stages import stages as timed

    print(json.dumps(timed(clip, STARTED)))


if __name__ == "__main__":
    {"decode": decode, "video": video, "measure": measure, "stages": stages}[sys.argv[1]](Path(sys.argv[2]))
