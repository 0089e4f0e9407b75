"""How good and how fast, against exact truth.

`accuracy` measures the tuning and the test corpus, each for itself, with the plain baseline beside them, and takes the
parts of the program away one at a time on the tuning clips. With --write it times the program too and writes the page
docs/accuracy.md; `page` writes that page anew from the figures kept beside it. `speed` times whole processes, `sources`
parts the errors of angles into those of the view and those of the landmark model, `recognition` tells what each clip is
taken for when nobody says which movement it shows. `queries` times what a program tool asks of a million efforts.
"""

import argparse
import os
import sys
from functools import partial
from pathlib import Path

from rich.console import Console

from tests.bench import (
    ablation,
    accuracy,
    corpora,
    earned,
    machine,
    one_by_one,
    page,
    queries,
    recognition,
    sources,
    speed,
    tables,
)
from tests.bench.cache import ROOT
from tests.bench.earned import Without
from tests.bench.report import Figures, Report, figures, report
from tests.bench.truth import clips_in

PAGE = ROOT / "docs" / "accuracy.md"
# A page of numbers keeps its width in a file or a pipe.
CONSOLE = Console(width=None if os.isatty(1) else 220)


def main() -> None:
    options = _parser().parse_args()
    try:
        options.run(options)
    except (corpora.NotDrawn, ValueError) as reason:
        sys.exit(str(reason))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    what = parser.add_subparsers(required=True)
    several = argparse.ArgumentParser(add_help=False)
    several.add_argument("--clips", type=Path, help="folder of clips with their truth beside them")
    several.add_argument("--only", default="", help="clips whose name contains this")
    timing = argparse.ArgumentParser(add_help=False)
    timing.add_argument("--repeats", type=int, default=speed.REPEATS, help="times that each clip is timed")

    one = what.add_parser("accuracy", parents=[several, timing], help="errors, coverage, verdicts, what parts earn")
    one.set_defaults(run=_accuracy)
    one.add_argument("--corpus", choices=[*corpora.CORPORA, "both"], default="both", help="unless --clips is given")
    one.add_argument("--renderer", type=Path, default=corpora.RENDERER, help="Python that can draw what is missing")
    one.add_argument("--no-baseline", action="store_true", help="leave the plain baseline out")
    one.add_argument("--no-ablation", action="store_true", help="leave out what each part earns")
    one.add_argument(
        "--part",
        nargs="+",
        choices=ablation.BY_NAME,
        default=list(ablation.BY_NAME),
        metavar="NAME",
        help="parts to take away",
    )
    one.add_argument("--jobs", type=int, default=accuracy.JOBS, help="clips measured at the same time")
    one.add_argument("--detail", action="store_true", help="show each clip and every value")
    one.add_argument("--json", type=Path, help="write all figures to this file")
    one.add_argument("--write", type=Path, metavar="PAGE", help="time the program too, and write docs/accuracy.md")

    what.add_parser("speed", parents=[several, timing], help="whole processes and stages").set_defaults(run=_speed)
    what.add_parser("sources", parents=[several], help="the view or the landmark model").set_defaults(run=_sources)
    what.add_parser("recognition", parents=[several], help="clips of no told movement").set_defaults(run=_recognition)
    asked = what.add_parser("queries", help="what a program tool asks of a million efforts")
    asked.set_defaults(run=_queries)
    asked.add_argument("--efforts", type=int, default=queries.EFFORTS, help="how many the database holds")
    asked.add_argument("--repeats", type=int, default=queries.REPEATS, help="times that each question is asked")
    asked.add_argument("--postgres", action="store_true", help="on a PostgreSQL started for it, instead of SQLite")
    what.add_parser("page", help="write the page from the figures beside it").set_defaults(run=_page)
    return parser


def _accuracy(options: argparse.Namespace) -> None:
    found = _clips(options)
    measured = [_measure(name, clips, options) for name, clips in found.items()]
    name, clips = next(iter(found.items()))
    parts = () if options.no_ablation else _without_each_part(name, clips, options)
    timed = (
        speed.run(_in_folder(options.clips or ROOT / "sample_clips", ""), options.repeats) if options.write else None
    )
    made = report(measured, parts, name, timed, machine.this())
    _show(made)
    if options.json:
        options.json.write_text(made.model_dump_json(indent=1) + "\n", encoding="utf-8")
    if options.write:
        page.write(made, options.write)


def _clips(options: argparse.Namespace) -> dict[str, list[Path]]:
    """Clips by the name of their corpus; the tuning clips, if asked for, come first."""
    if options.clips:
        return {options.clips.name: _in_folder(options.clips, options.only)}
    chosen = [c for c in corpora.CORPORA.values() if options.corpus in (c.name, "both")]
    found = {corpus.name: corpora.find(corpus, options.only, options.renderer) for corpus in chosen}
    for corpus in chosen:
        missing, outdated = len(corpus.missing(options.only)), len(corpus.outdated())
        CONSOLE.print(
            f"{corpus.name}: {missing} clips missing, {outdated} drawn by earlier recipes, in {corpus.folder}"
        )
    return found


def _in_folder(folder: Path, only: str) -> list[Path]:
    clips = [clip for clip in clips_in(folder) if only in clip.name]
    if not clips:
        raise corpora.NotDrawn(f"{folder} holds no such clip with a truth beside it; say --clips FOLDER")
    return clips


def _measure(name: str, clips: list[Path], options: argparse.Namespace) -> Figures:
    results = accuracy.run(clips, accuracy.program, options.jobs, f"{name}: measuring")
    plain = [] if options.no_baseline else accuracy.run(clips, accuracy.plain, options.jobs, f"{name}: the plain way")
    taken = accuracy.run(clips, recognition.taken, options.jobs, f"{name}: which movement")
    if options.detail:
        CONSOLE.print(one_by_one.values(results).on_console())
        CONSOLE.print(one_by_one.clips(results).on_console())
    for fault in one_by_one.faults(results):
        CONSOLE.print(f"  {fault}", markup=False)
    corpus = None if options.clips else corpora.CORPORA[name]
    seed, asked = (corpus.seed, corpus.count) if corpus else (None, len(clips))
    return figures(name, seed, asked, results, plain, taken)


def _without_each_part(name: str, clips: list[Path], options: argparse.Namespace) -> list[Without]:
    whole = accuracy.run(clips, accuracy.program, options.jobs)
    rows = []
    for part in (ablation.BY_NAME[chosen] for chosen in options.part):
        work = partial(accuracy.program, without=part.name)
        less = accuracy.run(clips, work, options.jobs, f"{name}: without {part.name}")
        rows.append(earned.summed_up(part.name, part.words, whole, less))
    return rows


def _show(made: Report) -> None:
    for corpus in made.corpora:
        for sheet in tables.of_figures(corpus):
            CONSOLE.print(sheet.on_console())
        CONSOLE.print(f"{corpus.name}: {tables.counts(corpus)}")
    if made.parts:
        CONSOLE.print(tables.parts(made).on_console())
    if made.speed:
        CONSOLE.print(tables.speed(made.speed).on_console())
        CONSOLE.print(tables.stages(made.speed).on_console())
        CONSOLE.print(tables.speed_words(made.speed))


def _speed(options: argparse.Namespace) -> None:
    timed = speed.run(_in_folder(options.clips or ROOT / "sample_clips", options.only), options.repeats)
    _show(report((), (), "", timed, machine.this()))


def _sources(options: argparse.Namespace) -> None:
    CONSOLE.print(sources.show(sources.run(_in_folder(options.clips or ROOT / "sample_clips", options.only))))


def _recognition(options: argparse.Namespace) -> None:
    clips = _in_folder(options.clips or ROOT / "sample_clips", options.only)
    CONSOLE.print(recognition.show(accuracy.run(clips, recognition.taken)))


def _queries(options: argparse.Namespace) -> None:
    answers = queries.run(options.efforts, options.repeats, postgres=options.postgres)
    CONSOLE.print(queries.show(answers, options.efforts).on_console())
    CONSOLE.print(
        f"Target for an athlete's year: {queries.TARGET:.0f} ms at the median. {machine.this()}", markup=False
    )


def _page(_options: argparse.Namespace) -> None:
    kept = PAGE.with_suffix(".json").read_text(encoding="utf-8")
    PAGE.write_text(page.render(Report.model_validate_json(kept)), encoding="utf-8")


if __name__ == "__main__":
    main()
