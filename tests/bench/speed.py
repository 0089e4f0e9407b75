"""How fast: whole processes, from start to end, each clip by itself; decoding alone, video mode, and the program."""

import resource
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
class Cost:
    """Seconds of wall clock, and of all processor cores together."""

    wall: float
    cpu: float

    def __add__(self, other: "Cost") -> "Cost":
        return Cost(self.wall + other.wall, self.cpu + other.cpu)


@dataclass(frozen=True)
class Timed:
    """What each task cost on one clip."""

    clip: str
    decode: Cost
    video: Cost
    measure: Cost

    @property
    def target(self) -> float:
        """Seconds that a measurement may take: a sixth of video mode, or decoding over 0.6 where that is longer."""
        return max(self.video.wall / OVER_VIDEO, self.decode.wall / OF_DECODING)


def run(clips: Sequence[Path]) -> list[Timed]:
    step = max(1, len(clips) / MOST)
    chosen = [clips[int(i * step)] for i in range(min(MOST, len(clips)))]
    return [Timed(clip.name, *(_cost(task, clip) for task in ("decode", "video", "measure"))) for clip in chosen]


def total(timed: Sequence[Timed]) -> Timed:
    def added(task: str) -> Cost:
        return sum((getattr(t, task) for t in timed), Cost(0, 0))

    return Timed("all", added("decode"), added("video"), added("measure"))


def show(console: Console, timed: Sequence[Timed]) -> None:
    columns = ("decoding alone", "video mode", "plumbrep", "target", "video/plumbrep", "decoding/plumbrep", "kept")
    table = Table("clip", *columns, title="speed: whole processes, seconds of wall clock (of processor)")
    for t in (*timed, total(timed)):
        table.add_row(
            t.clip,
            *(f"{cost.wall:.2f} ({cost.cpu:.2f})" for cost in (t.decode, t.video, t.measure)),
            f"{t.target:.2f}",
            f"{t.video.wall / t.measure.wall:.2f} ({t.video.cpu / t.measure.cpu:.2f})",
            f"{t.decode.wall / t.measure.wall:.2f} ({t.decode.cpu / t.measure.cpu:.2f})",
            "yes" if t.measure.wall <= t.target else "NO",
        )
    console.print(table)


def as_json(timed: Sequence[Timed]) -> list[dict[str, Any]]:
    return [asdict(t) | {"target": t.target} for t in (*timed, total(timed))]


def _cost(task: str, clip: Path) -> Cost:
    begin, used = time.perf_counter(), _processor_seconds()
    command = [sys.executable, "-m", "tests.bench.alone", task, str(clip.resolve())]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    return Cost(time.perf_counter() - begin, _processor_seconds() - used)


def _processor_seconds() -> float:
    """Used by all ended child processes so far."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return children.ru_utime + children.ru_stime
