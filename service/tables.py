"""A measurement document as tables that a person can read, on a terminal or in a plain file."""

import os
import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence

from rich import box
from rich.console import Console
from rich.measure import Measurement as Extent
from rich.table import Table

from models.document import Document, Hold, Posture, Rep, Set, Stroke
from models.movements import Movement, load_movement
from models.quantity import Measured, Q, Unmeasured
from service.advice import advice_lines
from service.reach import Values, demand_line, reach_values
from service.words import CAUTION, STATUS, camera_line, clip_line, listed, number, numbers, quantity, reason

PLAIN_WIDTH = 240  # columns where there is no terminal to ask: wide enough that no row is folded

UNIT = re.compile(r",? (?:% of .*|\S+)$")

Say = Callable[[str], None]


def stdout_console() -> Console:
    """Standard output, without markup or highlighting; in a file or pipe no row is folded."""
    console = Console(highlight=False, markup=False, emoji=False)
    if not console.is_terminal and "COLUMNS" not in os.environ:
        console.width = PLAIN_WIDTH
    return console


def show(document: Document, console: Console) -> None:
    """Print everything that a person needs to judge the clip: sets, reps or holds, doubts, cautions."""
    movement = load_movement(document.movement)
    say = _speaker(console)
    say(f"{movement.title}: {_found(document)}")
    say(clip_line(document))
    say(camera_line(document))
    for each in document.sets:
        say("")
        _show_set(each, movement, console)
    say("")
    for note in document.notes:
        say(f"Note: {note}")
    if document.not_measured:
        say(f"Not checked: {'; '.join(document.not_measured)}")
    say(f"Cautions: {' '.join((*movement.cautions, CAUTION))}")


def _found(document: Document) -> str:
    """How many sets, reps and holds the clip holds."""
    whole = sum(each.summary.whole for each in document.sets)
    reps = sum(len(each.reps) for each in document.sets)
    holds = sum(len(each.holds) for each in document.sets)
    found = [f"{_count(whole, 'whole rep')} of {reps} seen"] * (reps > 0) + [_count(holds, "hold")] * (holds > 0)
    return f"{', '.join(found)} in {_count(len(document.sets), 'set')}" if found else "no rep or hold was found"


def _count(number_of: int, what: str) -> str:
    return f"{number_of} {what}{'' if number_of == 1 else 's'}"


def _show_set(each: Set, movement: Movement, console: Console) -> None:
    say = _speaker(console)
    verdict = f": {each.verdict}" if each.verdict else ""
    say(f"Set {each.n}, {each.start:.1f} to {each.end:.1f} s, {each.near_side} side near the camera{verdict}")
    for check in each.checks or ():
        say(f"  {check.why}")
    if each.reps:
        _print_table(_facts(each.reps), _rep_values(each.reps, movement), each.reps, console)
    if each.holds:
        _print_table(_facts(each.holds), _hold_values(each.holds, movement), each.holds, console)
    rows = each.reps or each.holds
    _print_reach(rows, movement, console)
    for line in (*_summary_lines(each), *filter(None, [demand_line(rows)]), *advice_lines(each)):
        say(f"  {line}")


def _print_reach(rows: Sequence[Rep | Hold], movement: Movement, console: Console) -> None:
    """What was reached and asked, in a table of its own, where the document has it."""
    values = reach_values(rows, movement)
    if values:
        _print_table(_facts(rows), values, rows, console, judged=False)


def _facts(rows: Sequence[Rep | Hold]) -> dict[str, list[str]]:
    """The columns that say which row it is."""
    facts = {"n": [str(row.n) for row in rows], "from\ns": [f"{row.start:.2f}" for row in rows]}
    statuses = [STATUS[row.status] for row in rows if isinstance(row, Rep)]
    return facts | ({"status": statuses} if statuses else {})


def _rep_values(reps: Sequence[Rep], movement: Movement) -> Values:
    """Tempo in trade order, then the body line and the driving angle at both ends."""
    values: Values = {
        "lowering\ns": [_duration(rep.lowering) for rep in reps],
        "bottom\npause, s": [rep.bottom_pause for rep in reps],
        "raising\ns": [_duration(rep.raising) for rep in reps],
        "top\npause, s": [rep.top_pause for rep in reps],
    }
    for name in movement.reps.phases if movement.reps else ():
        values |= {f"{name}\nlowering, s": [_phase(rep.lowering, name) for rep in reps]}
        values |= {f"{name}\nraising, s": [_phase(rep.raising, name) for rep in reps]}
    driving = [movement.reps.driving] if movement.reps else []
    for angle in dict.fromkeys([movement.tilt, *driving]):
        unit = "%" if angle == "reach" else "deg"
        values |= {f"{angle}\nstraight, {unit}": _angles(angle, (rep.straight for rep in reps))}
        values |= {f"{angle}\nbent, {unit}": _angles(angle, (rep.bent for rep in reps))}
    return values


def _duration(stroke: Stroke | None) -> Q | None:
    return None if stroke is None else stroke.duration


def _phase(stroke: Stroke | None, name: str) -> Q | None:
    return None if stroke is None else stroke.phases.get(name)


def _hold_values(holds: Sequence[Hold], movement: Movement) -> Values:
    """Time, posture and steadiness of each hold."""
    values: Values = {"still\ns": [hold.still for hold in holds]}
    for angle in dict.fromkeys([movement.tilt, *movement.hold.still]):
        values |= {f"{angle}\ndeg": _angles(angle, (hold.posture for hold in holds))}
    unit = next(
        (hold.sway.along_floor.unit for hold in holds if not isinstance(hold.sway.along_floor, Unmeasured)), "mm"
    )
    return values | {
        "drift\ndeg": [hold.drift for hold in holds],
        f"sway along\nfloor, {unit}": [hold.sway.along_floor for hold in holds],
        f"sway vertical\n{unit}": [hold.sway.vertical for hold in holds],
    }


def _angles(angle: str, postures: Iterable[Posture]) -> list[Q | None]:
    return [getattr(posture, angle) for posture in postures]


def _print_table(
    facts: dict[str, list[str]], values: Values, rows: Sequence[Rep | Hold], console: Console, *, judged: bool = True
) -> None:
    """One line a row; in a window too narrow for that, the second half of the columns in a table of its own."""
    cells = {heading: [number(q) for q in column] for heading, column in values.items()}
    verdicts: dict[str, list[str]] = {
        "verdict": [row.verdict or "" for row in rows],
        "why": [reason(row.checks) for row in rows],
    }
    ruled: dict[str, list[str]] = verdicts if judged and any(row.verdict for row in rows) else {}
    table = _table(facts | cells | ruled)
    if Extent.get(console, console.options.update(max_width=PLAIN_WIDTH), table).maximum <= console.width:
        console.print(table)
    else:
        middle = (len(cells) + 1) // 2
        halves = [dict(list(cells.items())[:middle]), dict(list(cells.items())[middle:])]
        for part in [*halves, *([ruled] if ruled else [])]:
            console.print(_table(facts | part))
            console.print()
    say = _speaker(console)
    for line in _missing(values, rows):
        say(f"  {line}")


def _table(columns: dict[str, list[str]]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
    for heading in columns:
        table.add_column(
            heading, no_wrap=heading != "why", justify="left" if heading in ("status", "verdict", "why") else "right"
        )
    for row in zip(*columns.values(), strict=True):
        table.add_row(*row)
    return table


def _missing(values: Values, rows: Sequence[Rep | Hold]) -> Iterator[str]:
    """Say for each dash why there is no value, once for all columns that lack it in the same rows."""
    rows_are = "rep" if isinstance(rows[0], Rep) else "hold"
    found: dict[tuple[str, str], list[int]] = defaultdict(list)
    for heading, column in values.items():
        for row, q in zip(rows, column, strict=True):
            if not isinstance(q, Measured):
                found[_plain(heading), q.reason if q else "there is no such stroke"].append(row.n)
    alike: dict[tuple[str, tuple[int, ...]], list[str]] = defaultdict(list)
    for (what, why), which in found.items():
        alike[why, tuple(which)].append(what)
    for (why, same), whats in alike.items():
        yield f"no value for {listed(whats)} of {rows_are}{'s' * (len(same) > 1)} {numbers(same)}: {why}"


def _plain(heading: str) -> str:
    """A heading as running text, without its unit."""
    return UNIT.sub("", heading.replace("\n", " "))


def _summary_lines(each: Set) -> Iterator[str]:
    """What changes over the set."""
    if not each.reps:
        return
    summary = each.summary
    trends = {"lowering": summary.lowering, "range": summary.range, "raising speed": summary.raising_speed}
    slopes = {name: trend.slope for name, trend in trends.items()}
    known = any(isinstance(slope, Measured) for slope in slopes.values())
    changes = ", ".join(f"{name} {quantity(slope)}" for name, slope in slopes.items())
    yield f"Change from rep to rep: {changes if known else quantity(summary.lowering.slope)}"
    yield f"Longest rest inside the set: {quantity(summary.longest_rest)}"
    if summary.first_missed is not None:
        yield f"First missed rep: {summary.first_missed}"


def _speaker(console: Console) -> Say:
    """A line of running text is folded on a terminal only."""
    return lambda line: console.print(line, soft_wrap=not console.is_terminal)
