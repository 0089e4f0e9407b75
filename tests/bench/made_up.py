"""Comparisons, results and reports with known figures, for the tests of the bench."""

from functools import cache

import numpy as np

from models.movements import movement_names
from tests.bench.compare import Comparison, Result
from tests.bench.earned import summed_up
from tests.bench.machine import Machine
from tests.bench.recognition import Taken
from tests.bench.report import Figures, Report, figures, report
from tests.bench.speed import Cost, Speed, Timed

NAMES = (
    "lowering", "raising", "top_pause", "still", "lowering.swing", "lowering.hip_range", "lowering.stops", "lowering.first_third",
    "straight.body", "bent.trunk", "bent.legs", "bent.elbow", "bent.shoulder", "straight.hip", "straight.knee",
    "worst.hip", "worst.deviation", "drift", "standard.full-hang", "sway.along_floor", "sway.vertical",
    "sway.path", "sway.speed", "sway.ellipse",
)  # fmt: skip
MACHINE = Machine(processor="A processor", cores=2, memory_GiB=8, system="Linux 6", python="3.11.2")


def comparison(name: str, error: float, U95: float | None, clip: str = "a", truth: float = 90.0) -> Comparison:  # noqa: N803
    return Comparison(
        clip, "push-up", "rep 1", name, truth, truth + error, U95, good_view=True, edges=True, flare=20
    )  # fmt: skip


def angle(error: float, U95: float, clip: str = "a") -> Comparison:  # noqa: N803
    return comparison("bent.elbow", error, U95, clip)


def result(clip: str, movement: str = "push-up", size: float = 1.0, *, counted: bool = True) -> Result:
    """A clip with one value of every quantity, each off by a random part of `size`."""
    random = np.random.default_rng(len(clip) + sum(map(ord, clip)))
    values = tuple(comparison(name, size * random.normal(), 2.0, clip) for name in NAMES)
    return Result(clip, movement, (2, 2 if counted else 1), (0, 0), values, () if counted else ("not found",))


def results(size: float = 1.0) -> list[Result]:
    return [result(f"{i:03d}.mp4", name, size) for i, name in enumerate((*movement_names(), "push-up") * 2)]


def corpus(name: str) -> Figures:
    return figures(name, 7, 40, results(), results(3.0), [Taken(clip="a", shows="row", taken_for="dip", asked="")])


@cache
def whole_report() -> Report:
    """One that any test may read, for none can change it."""
    cost = Cost(wall=2.0, cpu=3.0)
    timed = Timed(
        clip="a.mp4", seconds=10, decode=cost, video=cost, measure=cost, stages={"flow": 1.0, "level": 0.5}
    )  # fmt: skip
    parts = [summed_up("flow", "landmarks alone", results(), results(2.0))]
    return report([corpus("tune"), corpus("test")], parts, "tune", Speed(repeats=3, cores=2, clips=(timed,)), MACHINE)
