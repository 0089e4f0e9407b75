"""The tables of a report, as its console and its page show them."""

from tests.bench.earned import GROUPS, Without
from tests.bench.report import Counts, Figures, MovementRow, Report
from tests.bench.sheets import Sheet, number, percent, percent_interval, yes
from tests.bench.speed import OF_DECODING, OVER_VIDEO, Cost, Speed, Timed
from tests.bench.targets import Reached, Row
from tests.bench.verdicts import Tally


def of_figures(figures: Figures) -> tuple[Sheet, ...]:
    return errors(figures), coverage(figures), verdicts(figures), movements(figures)


def counts(figures: Figures) -> str:
    """Counts, refusals and what clips were taken for, in one sentence each."""
    said = [f"The program: {_counts(figures.counts)}."]
    if figures.baseline is not None:
        said.append(f"The plain way: {_counts(figures.baseline)}.")
    if (known := figures.recognised) is not None:
        said.append(
            f"Not told which movement a clip shows, the program takes {known.right} rightly, asks about {known.asked} "
            f"and takes {known.wrong} for another."
        )
    return " ".join(said)


def errors(figures: Figures) -> Sheet:
    """Each row of the targets, the plain way beside it."""
    return Sheet(
        f"{figures.name}: absolute errors",
        ("quantity", "n", "no value", "median", "95th percentile", "target", "reached", "plain way: median", "95th"),
        tuple(_error(row) for row in (*figures.targets, *figures.groups) if row.program.count or row.target),
    )


def coverage(figures: Figures) -> Sheet:
    """How often U95 holds the truth, by quantity."""
    rows = [row for row in (*figures.targets, *figures.groups) if row.coverage]
    return Sheet(
        f"{figures.name}: coverage of U95",
        ("quantity", "n", "clips", "U95 holds", "95 % interval of that share", "U95 / error", "kept"),
        tuple(_coverage(row) for row in rows),
    )


def verdicts(figures: Figures) -> Sheet:
    columns = ("limits on", "rulings", "wrong", "95 % interval", "wrong past U95", "unsure though 10 % past", "kept")
    return Sheet(f"{figures.name}: verdicts", columns, tuple(_tally(tally) for tally in figures.verdicts))


def movements(figures: Figures) -> Sheet:
    """Each movement's row: 95th percentiles of absolute errors."""
    columns = (
        "movement",
        "clips",
        "counted",
        "refused",
        "recognised",
        "times, s",
        "body line, deg",
        "joints, deg",
        "standards, %",
    )
    return Sheet(
        f"{figures.name}: each movement, 95th percentiles",
        (*columns, "U95 holds"),
        tuple(_movement(row) for row in figures.movements),
    )


def parts(report: Report) -> Sheet:
    """What each part earns."""
    groups = tuple(group.title for group in GROUPS)
    return Sheet(
        f"without one part ({report.parts_from} clips): mean absolute error as a multiple of that with it",
        ("without", "counted", *groups, "U95 holds", "wrong verdicts", "the part"),
        tuple(_part(row, groups) for row in report.parts),
    )


def speed(timed: Speed) -> Sheet:
    columns = ("clip", "lasts, s", "decoding", "video mode", "plumbrep", "target", "video / plumbrep", "kept")
    return Sheet(
        f"speed on {timed.cores} cores: seconds of wall clock (of processor), medians of {timed.repeats}",
        columns,
        tuple(_timed(each) for each in (*timed.clips, timed.total())),
    )


def stages(timed: Speed) -> Sheet:
    total = timed.total()
    whole = sum(total.stages.values())
    longest_first = sorted(total.stages.items(), key=lambda item: -item[1])
    rows = tuple((name, f"{seconds:.2f}", percent(seconds / whole)) for name, seconds in longest_first)
    return Sheet("where the time goes, one run of each clip", ("stage", "seconds", "share"), rows)


def speed_words(timed: Speed) -> str:
    """Against the targets, in one sentence."""
    total = timed.total()
    return (
        f"The program takes {total.measure.wall:.1f} s for {total.seconds:.1f} s of clips: "
        f"{total.video.wall / total.measure.wall:.2f} times as fast as video mode (target: {OVER_VIDEO:g}) and "
        f"{percent(total.decode.wall / total.measure.wall)} of the speed of decoding alone (target where that is "
        f"slower: {percent(OF_DECODING)})."
    )


def _counts(counted: Counts) -> str:
    return f"{counted.counted} of {counted.clips} clips counted exactly, {counted.refused} refused"


def _error(row: Row) -> tuple[str, ...]:
    plain = row.baseline
    return (
        ", ".join(filter(None, (row.title, row.unit))),
        str(row.program.count),
        str(row.program.missing or ""),
        *_median_and_p95(row.program),
        row.target,
        yes(row.kept),
        *(_median_and_p95(plain) if plain else ("", "")),
    )


def _median_and_p95(reached: Reached) -> tuple[str, str]:
    return number(reached.median), number(reached.p95)


def _coverage(row: Row) -> tuple[str, ...]:
    assert row.coverage is not None
    share, width = percent(row.coverage.share), number(row.coverage.width)
    interval = percent_interval(row.coverage.interval)
    return row.title, str(row.program.count), str(row.coverage.clips), share, interval, width, yes(row.coverage.kept)


def _tally(tally: Tally) -> tuple[str, ...]:
    wrong = percent(tally.wrong / tally.rulings, 2) if tally.rulings else ""
    unsure = percent(tally.unsure_past / tally.past, 1) if tally.past else ""
    interval = percent_interval(tally.wrong_interval, 2)
    return tally.title, str(tally.rulings), wrong, interval, str(tally.wrong_beyond), unsure, yes(tally.kept)


def _movement(row: MovementRow) -> tuple[str, ...]:
    reached = (row.times, row.lines, row.joints, row.standards)
    held = percent(row.coverage.share) if row.coverage else ""
    known = "" if row.recognised is None else str(row.recognised.right)
    heads = row.movement, str(row.clips), str(row.counted), str(row.refused or ""), known
    return *heads, *(number(each.program.p95) for each in reached), held


def _part(row: Without, groups: tuple[str, ...]) -> tuple[str, ...]:
    changes = {change.group: change for change in row.changes}
    cells = []
    for group in groups:
        change = changes.get(group)
        low_high = f" ({change.interval[0]:.2f} to {change.interval[1]:.2f})" if change and change.interval else ""
        cells.append(f"{change.ratio:.2f}{low_high}" if change and change.ratio is not None else "")
    held = percent(row.coverage.share) if row.coverage else ""
    return (
        f"{row.part}: {row.words}",
        f"{row.counted} of {row.clips}",
        *cells,
        held,
        percent(row.wrong, 2),
        row.verdict,
    )


def _timed(timed: Timed) -> tuple[str, ...]:
    def both(cost: Cost) -> str:
        return f"{cost.wall:.2f} ({cost.cpu:.2f})"

    costs = (both(cost) for cost in (timed.decode, timed.video, timed.measure))
    ratio = f"{timed.video.wall / timed.measure.wall:.2f}"
    kept = yes(timed.measure.wall <= timed.target)
    return timed.clip, f"{timed.seconds:.1f}", *costs, f"{timed.target:.2f}", ratio, kept
