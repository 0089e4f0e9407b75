"""docs/accuracy.md: fixed prose round the tables of a report, and the report itself beside it."""

from collections.abc import Iterator
from pathlib import Path
from string import Template

from tests.bench import tables
from tests.bench.report import Figures, Report
from tests.bench.speed import Speed

TEMPLATE = Path(__file__).with_name("page.md")
NOT_MEASURED = "not measured with this state of the program."
PLAIN = """The plain way beside it: the same landmark model on every frame in its video mode with its own smoothing, thresholds at
5 % of the range, told the movement and the near side, and the phone taken for level."""


def write(report: Report, page: Path) -> None:
    """Write the page, and the report beside it.

    Raises:
        ValueError: the report lacks something that the page tells.
    """
    text = render(report)
    page.with_suffix(".json").write_text(report.model_dump_json() + "\n", encoding="utf-8")
    page.write_text(text, encoding="utf-8")


def render(report: Report) -> str:
    """The page of a report; what it has not measured is said to be missing.

    Raises:
        ValueError: the report lacks one of the two corpora.
    """
    tune, test = (_of(report, name) for name in ("tune", "test"))
    machine = report.machine
    told = {
        "date": report.date,
        "program": report.program,
        "libraries": ", ".join(f"{name} {version}" for name, version in report.libraries.items()),
        "machine": f"{machine.processor}, {machine.memory_GiB:g} GiB, {machine.system}, Python {machine.python}",
        "plain": PLAIN if tune.baseline and test.baseline else f"The plain way beside it: {NOT_MEASURED}",
        "parts": _parts(report) if report.parts else NOT_MEASURED,
        "speed": _speed(report.speed) if report.speed else NOT_MEASURED,
        "test_fails": "\n".join(f"- {line}" for line in _fails(test)),
    }
    for figures in (tune, test):
        told |= _told(figures)
    return Template(TEMPLATE.read_text(encoding="utf-8")).substitute(told)


def _parts(report: Report) -> str:
    return f"""The {report.parts_from} clips, measured without one part at a time: the mean absolute error as a multiple of that with the
part, with its 95 % interval (whole clips resampled). "earns" where one of these intervals lies above 1, or that of the
clips counted exactly does; "costs" where one lies below.

{tables.parts(report).in_markdown()}"""


def _speed(speed: Speed) -> str:
    return f"""Whole processes from start to end, clips in the system's cache, held to {speed.cores} cores; decoding alone, the landmark
model on every frame in video mode, and the program take turns. {tables.speed_words(speed)}

{tables.speed(speed).in_markdown()}

{tables.stages(speed).in_markdown()}"""


def _of(report: Report, name: str) -> Figures:
    for figures in report.corpora:
        if figures.name == name:
            return figures
    raise ValueError(f"the page tells of the corpus {name}; measure it")


def _told(figures: Figures) -> dict[str, str]:
    parts = {
        "drawn": f"{figures.counts.clips} of the {figures.asked} clips of seed {figures.seed}",
        "counts": tables.counts(figures),
        "errors": tables.errors(figures).in_markdown(),
        "coverage": tables.coverage(figures).in_markdown(),
        "verdicts": tables.verdicts(figures).in_markdown(),
        "movements": tables.movements(figures).in_markdown(),
    }
    return {f"{figures.name}_{name}": text for name, text in parts.items()}


def _fails(figures: Figures) -> Iterator[str]:
    """Every target that is missed, and every clip that is miscounted or refused."""
    missed = [row.title for row in figures.targets if row.kept is False]
    untrue = [row.title for row in (*figures.targets, *figures.groups) if row.coverage and row.coverage.kept is False]
    ruled = [tally.title for tally in figures.verdicts if tally.kept is False]
    yield f"Errors beyond the target: {', '.join(missed) or 'none'}."
    yield f"U95 that does not hold, or is too wide: {', '.join(untrue) or 'none'}."
    yield f"Verdicts beyond the target, on limits on: {', '.join(ruled) or 'none'}."
    yield f"Miscounted: {len(figures.miscounts)} clips."
    yield from (f"  {line}" for line in figures.miscounts)
    yield f"Refused: {len(figures.refusals)} clips."
    yield from (f"  {line}" for line in figures.refusals)
