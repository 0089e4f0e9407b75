"""All figures of one run of the bench, typed, so that they can be kept, shown on a console and written on a page."""

from collections.abc import Sequence
from datetime import date
from importlib.metadata import version

from models.quantity import Frozen
from tests.bench.cache import LIBRARIES
from tests.bench.compare import Comparison, Result
from tests.bench.earned import Without
from tests.bench.machine import Machine
from tests.bench.recognition import Taken
from tests.bench.speed import Speed
from tests.bench.targets import EVERYTHING, GROUPS, JOINTS, LINES, STANDARDS, TARGETS, TIMES, Coverage, Row, judge
from tests.bench.verdicts import Tally, tallies


class Recognised(Frozen):
    """Clips measured without a word on what they show: taken rightly, asked about, taken for something else."""

    right: int
    asked: int
    wrong: int


class MovementRow(Frozen):
    """One movement's clips."""

    movement: str
    clips: int
    counted: int
    refused: int
    recognised: Recognised | None
    times: Row
    lines: Row
    joints: Row
    standards: Row
    coverage: Coverage | None


class Counts(Frozen):
    """Clips, those in which whole reps and holds are counted exactly, and those refused."""

    clips: int
    counted: int
    refused: int


class Figures(Frozen):
    """What one corpus showed."""

    name: str
    seed: int | None
    """None for a folder of clips that is no corpus."""
    asked: int
    """Clips that the corpus has when all are drawn."""
    counts: Counts
    baseline: Counts | None
    recognised: Recognised | None
    targets: tuple[Row, ...]
    groups: tuple[Row, ...]
    movements: tuple[MovementRow, ...]
    verdicts: tuple[Tally, ...]
    refusals: tuple[str, ...]
    miscounts: tuple[str, ...]


class Report(Frozen):
    """One run of the bench; what was left out of it is empty or None."""

    date: str
    program: str
    libraries: dict[str, str]
    machine: Machine
    corpora: tuple[Figures, ...]
    parts: tuple[Without, ...] = ()
    parts_from: str = ""
    """The corpus that the parts were taken away on."""
    speed: Speed | None = None


def report(
    corpora: Sequence[Figures], parts: Sequence[Without], parts_from: str, speed: Speed | None, machine: Machine
) -> Report:
    return Report(
        date=date.today().isoformat(),  # noqa: DTZ011 - the day of whoever reads the clock on the wall
        program=version("plumbrep"),
        libraries={library: version(library) for library in LIBRARIES},
        machine=machine,
        corpora=tuple(corpora),
        parts=tuple(parts),
        parts_from=parts_from,
        speed=speed,
    )


def figures(
    name: str,
    seed: int | None,
    asked: int,
    results: Sequence[Result],
    plain: Sequence[Result] = (),
    taken: Sequence[Taken] = (),
) -> Figures:
    every, beside = _comparisons(results), _comparisons(plain)
    return Figures(
        name=name,
        seed=seed,
        asked=asked,
        counts=_counts(results),
        baseline=_counts(plain) if plain else None,
        recognised=_recognised(taken),
        targets=tuple(judge(target, every, beside) for target in TARGETS),
        groups=tuple(judge(target, every, beside) for target in GROUPS),
        movements=tuple(_movement(name, results, taken) for name in sorted({r.movement for r in results})),
        verdicts=tallies(every),
        refusals=tuple(f"{r.clip}: {r.refusal}" for r in results if r.refusal),
        miscounts=tuple(f"{r.clip}: {'; '.join(r.faults)}" for r in results if not r.counted and not r.refusal),
    )


def _movement(movement: str, results: Sequence[Result], taken: Sequence[Taken]) -> MovementRow:
    own = [r for r in results if r.movement == movement]
    every, counts = _comparisons(own), _counts(own)
    return MovementRow(
        movement=movement,
        clips=counts.clips,
        counted=counts.counted,
        refused=counts.refused,
        recognised=_recognised([t for t in taken if t.shows == movement]),
        times=judge(TIMES, every),
        lines=judge(LINES, every),
        joints=judge(JOINTS, every),
        standards=judge(STANDARDS, every),
        coverage=judge(EVERYTHING, every).coverage,
    )


def _counts(results: Sequence[Result]) -> Counts:
    return Counts(
        clips=len(results),
        counted=sum(r.counted for r in results),
        refused=sum(r.refusal is not None for r in results),
    )


def _recognised(taken: Sequence[Taken]) -> Recognised | None:
    if not taken:
        return None
    right, asked = sum(t.right for t in taken), sum(t.taken_for is None for t in taken)
    return Recognised(right=right, asked=asked, wrong=len(taken) - right - asked)


def _comparisons(results: Sequence[Result]) -> list[Comparison]:
    return [c for result in results for c in result.comparisons]
