"""What is asked of the body, as a table that a person can read."""

from collections.abc import Iterator, Sequence
from typing import Final

from rich.console import Console

from models.body.demand import Demand
from models.movements import load_movement
from models.quantity import Measured, Unmeasured
from service.columns import print_columns
from service.demanding import Answer, Demands, Row
from service.speaking import speaker
from service.words import CAUTION, number, quantity

MODES: Final = {"raise": "raised", "hold": "held", "lower": "lowered only"}
LIMITS: Final = {"hands": "the load at the hands"}
KNOBS: Final = {
    "body-angle": "a body angle of {}",
    "hands-raised": "hands {} up",
    "feet-raised": "feet {} up",
    "band": "a band that takes off {} at the hardest point",
    "load": "an added load of {}",
}


def show_demands(found: Demands, console: Console) -> None:
    """Print the rows, what limits, the answer to a question, notes and cautions."""
    say = speaker(console)
    movement = load_movement(found.movement)
    say(f"{found.what}: what it asks")
    _print_rows(found.rows, console)
    for line in _about(found.rows[0]):
        say(line)
    if found.answer:
        say(answer_line(found.answer, found.movement))
    if found.variants:
        say("")
        say(f"Variants of {movement.name}, each at its hard end:")
        _print_rows(found.variants, console)
    say("")
    say(f"Moments are in {_units(found.rows)}, of both sides together, positive where the flexors work.")
    for note in dict.fromkeys(note for row in (*found.rows, *found.variants) for note in row.demand.notes):
        say(f"Note: {note}")
    say("A model of the body says what a posture asks, not whether an athlete can bear it.")
    say(f"Cautions: {' '.join((*movement.cautions, CAUTION))}")


def _print_rows(rows: Sequence[Row], console: Console) -> None:
    """One line a row; a dash where there is no value."""
    asked = [row.demand for row in rows]
    values = {"hands, %\nof weight": [number(each.hands) for each in asked]}
    if any(isinstance(each.feet, Measured) and each.feet.value > 0 for each in asked):
        values["feet, %\nof weight"] = [number(each.feet) for each in asked]
    for joint in asked[0].moments:
        values[f"{joint}\nmoment"] = [number(each.moments[joint]) for each in asked]
    values["of the full\nversion, %"] = [number(each.ratio) for each in asked]
    if any(_differ(each) for each in asked):
        values["as it is\ndone, %"] = [number(each.effort) for each in asked]
    print_columns({"": [row.name for row in rows]}, values, console)


def _differ(asked: Demand) -> bool:
    """Whether lowering or holding makes it another share than raising does."""
    ratio, effort = asked.ratio, asked.effort
    return isinstance(ratio, Measured) and isinstance(effort, Measured) and abs(ratio.value - effort.value) > 0.05


def _units(rows: Sequence[Row]) -> str:
    known = [moment for row in rows for moment in row.demand.moments.values() if isinstance(moment, Measured)]
    return "Nm" if known and known[0].unit == "Nm" else "% of body weight x height"


def _about(row: Row) -> Iterator[str]:
    """What limits it, how it compares, and why a value is missing."""
    asked = row.demand
    limit = LIMITS.get(asked.limit, f"the moment at the {asked.limit}")
    yield f"Limited by {limit}: {quantity(asked.limiting)}"
    if _differ(asked):
        yield f"As it is done here, {MODES[asked.mode]}, it is {quantity(asked.effort)} of the full version as that is done"
    for reason in dict.fromkeys(q.reason for q in (asked.limiting, asked.ratio) if isinstance(q, Unmeasured)):
        yield f"no value: {reason}"


def answer_line(answer: Answer, movement: str) -> str:
    """`A body angle of 33.2 ±2.1 deg makes the load at the hands 60 % of body weight`."""
    what = (
        "the load at the hands {:g} % of body weight" if answer.of == "hands" else "it {:g} % of the full " + movement
    )
    if isinstance(answer.value, Unmeasured):
        return f"What makes {what.format(answer.percent)} has no value: {answer.value.reason}"
    knob = KNOBS[answer.by].format(_value(answer.value))
    return f"{knob[0].upper()}{knob[1:]} makes {what.format(answer.percent)}"


def _value(value: Measured) -> str:
    """Heights in centimetres, as boxes are."""
    if value.unit != "m":
        return quantity(value)
    return f"{100 * value.value:.0f} ±{100 * value.U95:.0f} cm"
