"""The program, and a plain baseline, against the exact truth of every clip."""

import json
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.document import Document
from models.errors import ClipError
from tests.bench import baseline, events
from tests.bench.cache import cached, program_state
from tests.bench.compare import Result, compare, refused
from tests.bench.truth import Truth, read_truth


def run(clips: Iterable[Path], *, plain: bool, jobs: int) -> list[Result]:
    """Measure every clip, by the program or by the baseline (`plain`), and compare it with its truth."""
    work = _baseline if plain else _program
    if jobs == 1:
        return [work(clip) for clip in clips]
    with ProcessPoolExecutor(jobs, mp_context=get_context("spawn")) as pool:
        return list(pool.map(work, clips))


def measure(clip: Path, truth: Truth) -> str:
    """The document's JSON, or `{"refused": reason}`."""
    from vision.measure import measure as measure_clip

    try:
        made = measure_clip(clip, truth.as_measured(), hold=truth.is_hold, height_cm=truth.athlete.height_cm)
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


def _program(clip: Path) -> Result:
    truth = read_truth(clip)
    state = program_state("vision", "models") + repr((truth.as_measured(), truth.is_hold, truth.athlete))
    return result(truth, cached(clip, state, lambda: measure(clip, truth)))


def _baseline(clip: Path) -> Result:
    truth = read_truth(clip)
    return compare(truth, events.of_truth(truth), baseline.read(_landmarks(clip), truth))


def followed(clip: Path) -> NDArray[np.float64]:
    """The baseline's picture points (N, J, 2), NaN where it sees no body."""
    return np.array(_landmarks(clip)["points"], dtype=float)


def _landmarks(clip: Path) -> dict[str, Any]:
    kept = cached(clip, program_state("tests/bench/video_mode.py"), lambda: json.dumps(baseline.landmarks(clip)))
    content: dict[str, Any] = json.loads(kept)
    return content
