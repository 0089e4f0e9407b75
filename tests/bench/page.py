"""docs/accuracy.md: fixed prose round the tables of a report, and the report itself beside it."""

from collections.abc import Iterator
from pathlib import Path
from string import Template

from tests.bench import tables
from tests.bench.report import Figures, Report

TEMPLATE = Path(__file__).with_name("page.md")


def write(report: Report, page: Path) -> None:
    """Write the page, and the report beside it.

    Raises:
        ValueError: the report lacks something that the page tells.
    """
    text = render(report)
    page.with_suffix(".json").write_text(report.model_dump_json() + "\n", encoding="utf-8")
    page.write_text(text, encoding="utf-8")


def render(report: Report) -> str:
    """The page of a report.

    Raises:
        ValueError: the report lacks something that the page tells.
    """
    tune, test = (_of(report, name) for name in ("tune", "test"))
    if report.speed is None or not report.parts or tune.baseline is None or test.baseline is None:
        raise ValueError("the page tells of both corpora, the baseline, every part and the speed; measure them all")
    machine = report.machine
    told = {
        "date": report.date,
        "program": report.program,
        "libraries": ", ".join(f"{name} {version}" for name, version in report.libraries.items()),
        "machine": f"{machine.processor}, {machine.memory_GiB:g} GiB, {machine.system}, Python {machine.python}",
        "parts_from": report.parts_from,
        "parts": tables.parts(report).in_markdown(),
        "cores": str(report.speed.cores),
        "speed_words": tables.speed_words(report.speed),
        "speed": tables.speed(report.speed).in_markdown(),
        "stages": tables.stages(report.speed).in_markdown(),
        "test_fails": "\n".join(f"- {line}" for line in _fails(test)),
    }
    for figures in (tune, test):
        told |= _told(figures)
    return Template(TEMPLATE.read_text(encoding="utf-8")).substitute(told)


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
