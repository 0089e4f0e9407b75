"""Look into a clip that arrived, and write the copy that is kept. Runs in a process of its own (see `examine`).

What a stranger sent is opened here and nowhere else before it has passed. The copy is compared with what came: a clip
that does not give the same measurement afterwards is refused, not kept.
"""

import os
import resource
import sys
from collections.abc import Mapping
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path
from typing import Final, cast

import av
import numpy as np
from av.buffer import Buffer

from models.errors import BadInput, ClipError
from service.intake.container import container_of
from service.intake.facts import Answer, Facts, Limits
from service.intake.filmed import filmed_at
from service.intake.strip import strip
from vision import boxes
from vision.movie import Outline, decode, outline, read_movie
from vision.slow_motion import Pace, pace, read_trailer

SECONDS: Final = 60
"""Of processor time."""
MEMORY: Final = 3 << 30
"""Bytes of address space: what the libraries map, and the pictures that a decoder of 4K holds."""
SPARE: Final = 1 << 20
"""Bytes by which the copy's own index may be larger than the source's."""
TOO_MUCH: Final = "The clip's file asks for more memory than a clip needs; send it as the phone saved it."


def look(source: Path, to: Path, limits: Limits) -> Facts:
    """Check a clip, write its stripped copy to `to`, and tell what is known of it.

    Raises:
        ClipError: it cannot be kept.
    """
    found = outline(source)
    container = container_of(source, found)
    speed, seconds = _pace(source, found), _seconds(found)
    _check(found, seconds, limits)
    if (pieces := _pieces(source)) > 1:
        raise ClipError(f"The clip is put together from {pieces} pieces; send one piece, as it was filmed.")
    strip(source, found, container, to)
    _compare(source, found, to)
    return Facts(
        container=container, seconds=seconds * speed.scale, filmed=filmed_at(found.metadata, datetime.now(UTC))
    )


def _check(found: Outline, seconds: float, limits: Limits) -> None:
    if found.width * found.height > limits.pixels:
        raise ClipError(
            f"The picture is {found.width} x {found.height} pixels; film with at most {limits.pixels / 1e6:.3g} million."
        )
    if seconds > limits.seconds:
        raise ClipError(f"The clip lasts {seconds:.0f} s; cut it to one set, at most {limits.seconds:g} s.")


def _seconds(found: Outline) -> float:
    """From the first shown picture to the last, as stamped, and one picture more."""
    stamps = sorted(_times(found))
    if len(stamps) < 2:
        raise ClipError("The file holds a single picture, not a clip; send a video.")
    return float(stamps[-1] - stamps[0] + (stamps[-1] - stamps[0]) / (len(stamps) - 1))


def _times(found: Outline) -> list[Fraction]:
    """When its packets are shown, in seconds, in the order of the file."""
    if None in found.track.stamps:
        raise ClipError("The clip's pictures carry no times; send the clip as the phone saved it.")
    return [stamp * found.time_base for stamp in found.track.stamps if stamp is not None]


def _pace(path: Path, found: Outline) -> Pace:
    times = np.array(sorted(set(_times(found))), dtype=np.float64)
    edits = [edit for track in _edits(path) for edit in track]
    return pace(times, found.metadata, edits, read_trailer(path))


def _edits(path: Path) -> tuple[tuple[boxes.Edit, ...], ...]:
    return boxes.video_edits(path) if boxes.is_mp4(path) else ()


def _pieces(path: Path) -> int:
    return max((sum(not edit.empty for edit in track) for track in _edits(path)), default=0)


def _compare(source: Path, before: Outline, copy: Path) -> None:
    """Raise ClipError unless the copy shows the same pictures' times, turned and paced alike."""
    after = outline(copy)
    same = (
        (before.codec, before.width, before.height, before.aspect)
        == (after.codec, after.width, after.height, after.aspect)
        and _same_times(source, before, copy, after)
        and _pace(source, before) == _pace(copy, after)
        and _turn(source, before) == _turn(copy, after)
    )
    if not same:
        raise ClipError(
            "The clip's times or its turn cannot be kept without what else its file tells; send it as the phone saved it, "
            "as MP4 or MOV."
        )


def _same_times(source: Path, before: Outline, copy: Path, after: Outline) -> bool:
    old, new = _times(before), _times(after)
    if [time - min(old) for time in old] == [time - min(new) for time in new]:
        return True
    if before.codec not in {"vp8", "vp9"}:
        return False
    # Packets that show nothing are joined with the next one: only decoding tells what is shown.
    shown = [(movie.stamps - movie.stamps[0]) * movie.time_base for movie in (read_movie(source), read_movie(copy))]
    return len(shown[0]) == len(shown[1]) and bool(np.all(shown[0] == shown[1]))


def _turn(path: Path, found: Outline) -> bytes:
    """The display matrix of the first picture, which must decode; empty where it has none."""
    try:
        first = next(decode(path, found.track.index))
    except (av.FFmpegError, StopIteration) as fault:
        raise ClipError("The clip's first picture is damaged; copy or upload it again.") from fault
    side_data = cast("Mapping[str, Buffer]", first.side_data)  # PyAV's stub names it otherwise
    try:
        return bytes(side_data["DISPLAYMATRIX"])
    except KeyError:
        return b""


def _confine(limits: Limits) -> None:
    """Take no more from now on than a whole clip needs, whatever its file asks for."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (limits.bytes + SPARE, limits.bytes + SPARE))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if sys.platform == "linux":  # macOS has neither
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        # Decoders start a thread for each processor, and each holds pictures.
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:2])


def main() -> None:
    """Look into the clip that the command line names, and print the answer as JSON."""
    source, to, told = sys.argv[1:]
    limits = Limits.model_validate_json(told)
    _confine(limits)
    try:
        answer = Answer(facts=look(Path(source), Path(to), limits))
    except BadInput as fault:
        answer = Answer(refused=str(fault))
    except MemoryError:
        answer = Answer(refused=TOO_MUCH)
    sys.stdout.write(answer.model_dump_json())


if __name__ == "__main__":
    main()
