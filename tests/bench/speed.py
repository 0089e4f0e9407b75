"""How fast: whole processes, from start to end, each clip by itself; decoding alone, video mode, and the program."""

import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from tests.bench.cache import ROOT

MOST = 6
"""Clips timed, spread evenly over those given."""
OVER_VIDEO = 6.0
OF_DECODING = 0.6


@dataclass(frozen=True)
class Timed:
    """Seconds of wall clock that each task took on one clip."""

    clip: str
    decode: float
    video: float
    measure: float

    @property
    def target(self) -> float:
        """Seconds that a measurement may take: a sixth of video mode, or decoding over 0.6 where that is longer."""
        return max(self.video / OVER_VIDEO, self.decode / OF_DECODING)


def run(clips: Sequence[Path]) -> list[Timed]:
    step = max(1, len(clips) / MOST)
    chosen = [clips[int(i * step)] for i in range(min(MOST, len(clips)))]
    return [Timed(clip.name, *(_seconds(task, clip) for task in ("decode", "video", "measure"))) for clip in chosen]


def total(timed: Sequence[Timed]) -> Timed:
    return Timed("all", sum(t.decode for t in timed), sum(t.video for t in timed), sum(t.measure for t in timed))


def show(console: Console, timed: Sequence[Timed]) -> None:
    columns = (
        "decoding alone s",
        "video mode s",
        "plumbrep s",
        "target s",
        "times faster than video",
        "of decoding's speed",
        "kept",
    )
    table = Table("clip", *columns, title="speed: whole processes, wall clock")
    for t in (*timed, total(timed)):
        table.add_row(
            t.clip,
            *(f"{seconds:.2f}" for seconds in (t.decode, t.video, t.measure, t.target)),
            f"{t.video / t.measure:.2f}",
            f"{t.decode / t.measure:.2f}",
            "yes" if t.measure <= t.target else "NO",
        )
    console.print(table)


def as_json(timed: Sequence[Timed]) -> list[dict[str, Any]]:
    return [asdict(t) | {"target": t.target} for t in (*timed, total(timed))]


def _seconds(task: str, clip: Path) -> float:
    begin = time.perf_counter()
    command = [sys.executable, "-m", "tests.bench.alone", task, str(clip.resolve())]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    return time.perf_counter() - begin
