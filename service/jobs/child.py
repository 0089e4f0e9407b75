"""The child process that measures one clip: `python -m service.jobs.child FOLDER`.

It reads the order and the clip in that folder and writes the document, the motion series and the proxy beside them.
Everything slow or dangerous happens here: decoders and the landmark library are native code, fed with what strangers
send, and the worker must outlive them.
"""

import json
import os
import resource
import sys
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from threading import Thread
from time import monotonic
from typing import TYPE_CHECKING, Final

from models.document import Document
from models.errors import BadInput, WeightsError
from models.movements import Movement, load_movement
from models.pose import require_system_libraries
from models.prescription import Prescription, parse_prescription
from models.sensor import read_sensor_track
from models.verdict import judge
from service.jobs.order import Folder, Order

if TYPE_CHECKING:
    from vision.encode import Picture

Tell = Callable[[str, float], None]

PROXY_SIDE: Final = 1280
"""Pixels of the proxy's longer side."""
COPYING, FOLLOWING = "making a copy to look at", "following the athlete"
SHARES: Final = {COPYING: (0.0, 0.25), FOLLOWING: (0.25, 0.97)}
"""Where each stage begins and ends in the whole, roughly: it is a bar for somebody who waits."""
PAUSE: Final = 0.5
"""Seconds between two words about how far it is."""


def main() -> int:
    """Measure what lies in the folder; 0 is done, 2 is refused, anything else is a fault of ours."""
    folder = Folder(Path(sys.argv[1]))
    order = Order.model_validate_json(folder.order.read_bytes())
    out = _own_output()
    _end_with_parent()
    _contain(order.memory_mb)
    require_system_libraries()
    try:
        _measure(folder, order, _teller(out))
    except WeightsError:  # the machine's fault, not the clip's
        raise
    except BadInput as fault:
        _say(out, {"refused": str(fault)})
        return 2
    return 0


def _measure(folder: Folder, order: Order, tell: Tell) -> None:
    """Write the proxy first: whoever must look at a clip that cannot be measured needs it most."""
    from service.jobs.series import write_series
    from vision.in_position import time_in_position
    from vision.measure import measure

    prescription = _prescription(order)
    sensor = read_sensor_track(folder.sensor) if order.sensor else None
    _write_proxy(folder, tell)
    measurement = measure(
        folder.clip,
        _movement(order, prescription),
        hold=order.hold if prescription is None else prescription.hold is not None,
        height_cm=order.height_cm,
        sensor=sensor,
        progress=tell,
    )
    document: Document = measurement.document
    if prescription is not None:
        document = judge(document, prescription, time_in_position(measurement.motion))
    write_series(measurement, folder.series)
    folder.document.write_text(document.model_dump_json(), encoding="utf-8")


def _prescription(order: Order) -> Prescription | None:
    return None if order.prescription is None else parse_prescription(order.prescription.encode(), "the prescription")


def _movement(order: Order, prescription: Prescription | None) -> Movement | None:
    if prescription is not None:
        return prescription.as_movement()
    return None if order.movement is None else load_movement(order.movement)


def _write_proxy(folder: Folder, tell: Tell) -> None:
    from vision.clip import open_clip
    from vision.encode import write_clip

    clip = open_clip(folder.clip)

    def pictures() -> "Iterator[tuple[float, Picture]]":
        for frame in clip.frames(PROXY_SIDE):
            tell(COPYING, (frame.index + 1) / clip.facts.frames)
            yield frame.time, frame.image

    write_clip(folder.proxy, pictures())


def _own_output() -> int:
    """A descriptor for what is told; what libraries print to standard output goes to standard error instead."""
    out = os.dup(sys.stdout.fileno())
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    return out


def _teller(out: int) -> Tell:
    said: tuple[str, float] = ("", 0.0)

    def tell(stage: str, share: float) -> None:
        nonlocal said
        if stage == said[0] and monotonic() - said[1] < PAUSE:
            return
        said = (stage, monotonic())
        start, end = SHARES.get(stage, (0.0, 1.0))
        _say(out, {"stage": stage, "share": round(start + (end - start) * share, 3)})

    return tell


def _say(out: int, words: dict[str, object]) -> None:
    os.write(out, json.dumps(words).encode() + b"\n")


def _end_with_parent() -> None:
    """End when the worker does, even if it was killed: its end of standard input closes with it."""

    def wait() -> None:
        while os.read(0, 1024):  # not by way of `sys.stdin`, whose lock the interpreter wants when it ends
            pass
        os._exit(1)

    Thread(target=wait, daemon=True).start()


def _contain(memory_mb: int) -> None:
    """Leave the machine to others first, and nothing of a clip behind in a core file.

    The worker looks at resident memory a few times a second; this is the wall behind that, for what is asked for in one
    go. It is twice as far, because the stacks of threads and memory that is never touched count here. `RLIMIT_AS` would
    count the libraries and models too, which alone take two gigabytes of addresses.
    """
    os.nice(5)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if sys.platform == "linux":
        _, most = resource.getrlimit(resource.RLIMIT_DATA)
        wall = 2 * memory_mb * 2**20
        resource.setrlimit(resource.RLIMIT_DATA, (wall if most < 0 else min(wall, most), most))
        with suppress(
            OSError
        ):  # where the machine runs out of memory, this process goes, not the worker or the database
            Path("/proc/self/oom_score_adj").write_text("1000", encoding="ascii")


if __name__ == "__main__":
    sys.exit(main())
