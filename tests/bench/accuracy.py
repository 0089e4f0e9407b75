"""The program, and a plain baseline, against the exact truth of every clip."""

import json
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from rich.console import Console
from rich.progress import track as with_progress

from models.document import Document
from models.errors import ClipError
from models.sensor import read_sensor_track
from tests.bench import ablation, baseline, events
from tests.bench.cache import cached, program_state
from tests.bench.compare import Result, compare, refused
from tests.bench.truth import Truth, read_truth

JOBS = 2
"""Clips measured at the same time; more than cores gains nothing."""

T = TypeVar("T")


def run(clips: Sequence[Path], work: Callable[[Path], T], jobs: int = JOBS, what: str = "measuring") -> list[T]:
    """What `work` makes of each clip, in their order: `program`, `plain`, `partial(program, without=...)` ..."""
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn"), initializer=_one_thread) as pool:
        done = pool.map(work, clips)
        return list(with_progress(done, what, total=len(clips), console=Console(stderr=True), transient=True))


def program(clip: Path, without: str = "") -> Result:
    """The program's measurement against the truth, or that of the program without one of its parts."""
    truth = read_truth(clip)
    state = program_state("vision", "models") + repr((truth.as_measured(), truth.is_hold, truth.athlete, truth.sensor))
    if without:
        state += without + program_state("tests/bench/ablation.py")

    def text() -> str:
        with ablation.without(ablation.BY_NAME.get(without)):
            return measure(clip, truth)

    return result(truth, cached(clip, state, text))


def plain(clip: Path) -> Result:
    """The baseline's reading against the truth."""
    truth = read_truth(clip)
    return compare(truth, events.of_truth(truth), baseline.read(_landmarks(clip), truth))


def measure(clip: Path, truth: Truth) -> str:
    """The document's JSON, or `{"refused": reason}`."""
    from vision.measure import measure as measure_clip

    try:
        made = measure_clip(
            clip,
            truth.as_measured(),
            hold=truth.is_hold,
            height_cm=truth.athlete.height_cm,
            sensor=read_sensor_track(clip.with_name(truth.sensor)) if truth.sensor else None,
        )
    except ClipError as reason:
        return json.dumps({"refused": str(reason)})
    return made.document.model_dump_json()


def result(truth: Truth, text: str) -> Result:
    """Compare what `measure` gave with the truth."""
    expected = events.of_truth(truth)
    content = json.loads(text)
    if "refused" in content:
        return refused(truth, expected, content["refused"])
    return compare(truth, expected, events.of_document(Document.model_validate(content)))


def followed(clip: Path) -> NDArray[np.float64]:
    """The baseline's picture points (N, J, 2), NaN where it sees no body."""
    return np.array(_landmarks(clip)["points"], dtype=float)


def _landmarks(clip: Path) -> dict[str, Any]:
    kept = cached(clip, program_state("tests/bench/video_mode.py"), lambda: json.dumps(baseline.landmarks(clip)))
    content: dict[str, Any] = json.loads(kept)
    return content


def _one_thread() -> None:
    """Each worker has a core to itself; OpenCV's own threads would only get in each other's way."""
    import cv2

    cv2.setNumThreads(1)
