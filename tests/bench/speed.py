"""How fast: whole processes, from start to end, one clip each, on two cores with the files in the system's cache.

Decoding alone, the landmark model on every frame in video mode, and the program take turns; each figure is the median
of the repeats.
"""

import json
import os
import resource
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import Final, Literal

from models.quantity import Frozen
from tests.bench import machine
from tests.bench.cache import ROOT

Task = Literal["decode", "video", "measure", "stages"]
TASKS: Final[tuple[Task, ...]] = ("decode", "video", "measure")
MOST: Final = 6
"""Clips timed, spread evenly over those given."""
REPEATS: Final = 3
CORES: Final = 2
OVER_VIDEO: Final = 6.0
OF_DECODING: Final = 0.6


class Cost(Frozen):
    """Seconds of wall clock, and of all processor cores together."""

    wall: float
    cpu: float


class Timed(Frozen):
    """What each task cost on one clip, and what the program's stages took in one more run."""

    clip: str
    seconds: float
    """How long the clip lasts."""
    decode: Cost
    video: Cost
    measure: Cost
    stages: dict[str, float]

    @property
    def target(self) -> float:
        """Seconds that a measurement may take: a sixth of video mode, or decoding over 0.6 where that is longer."""
        return max(self.video.wall / OVER_VIDEO, self.decode.wall / OF_DECODING)


class Speed(Frozen):
    repeats: int
    cores: int
    clips: tuple[Timed, ...]

    def total(self) -> Timed:
        """All clips together."""
        stages = {name: sum(t.stages.get(name, 0) for t in self.clips) for t in self.clips for name in t.stages}
        return Timed(
            clip="all",
            seconds=sum(t.seconds for t in self.clips),
            decode=_sum([t.decode for t in self.clips]),
            video=_sum([t.video for t in self.clips]),
            measure=_sum([t.measure for t in self.clips]),
            stages=stages,
        )


def run(clips: Sequence[Path], repeats: int = REPEATS) -> Speed:
    step = max(1, len(clips) / MOST)
    chosen = [clips[int(i * step)] for i in range(min(MOST, len(clips)))]
    with _two_cores() as cores:
        for task in TASKS:
            _cost(task, chosen[0])  # brings program and libraries into the system's cache
        return Speed(repeats=repeats, cores=cores, clips=tuple(_timed(clip, repeats) for clip in chosen))


def _timed(clip: Path, repeats: int) -> Timed:
    clip.read_bytes()
    rounds = [{task: _cost(task, clip) for task in TASKS} for _ in range(repeats)]
    costs = {
        task: Cost(wall=median(r[task].wall for r in rounds), cpu=median(r[task].cpu for r in rounds)) for task in TASKS
    }
    stages = json.loads(_alone("stages", clip))
    return Timed(clip=clip.name, seconds=stages.pop("clip"), stages=stages, **costs)


def _cost(task: Task, clip: Path) -> Cost:
    begin, used = time.perf_counter(), _processor_seconds()
    _alone(task, clip)
    return Cost(wall=time.perf_counter() - begin, cpu=_processor_seconds() - used)


def _alone(task: Task, clip: Path) -> str:
    """What a task in a process of its own prints."""
    command = [sys.executable, "-m", "tests.bench.alone", task, str(clip.resolve())]
    return subprocess.run(
        command, cwd=ROOT, check=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ).stdout.decode()


@contextmanager
def _two_cores() -> Iterator[int]:
    """Hold this process and those that it starts to two cores, where the system lets it; gives how many there are."""
    allowed = machine.cores()
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, allowed[:CORES])
    try:
        yield len(machine.cores())
    finally:
        if hasattr(os, "sched_setaffinity"):
            os.sched_setaffinity(0, allowed)


def _processor_seconds() -> float:
    """Used by all ended child processes so far."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return children.ru_utime + children.ru_stime


def _sum(costs: Sequence[Cost]) -> Cost:
    return Cost(wall=sum(c.wall for c in costs), cpu=sum(c.cpu for c in costs))
