"""A path as a table that a coach can read: what, how much of it, what it asks, and what to do where a step is large."""

from collections.abc import Iterator
from itertools import pairwise

from rich.console import Console

from models.movements import load_movement
from models.path import Path, Rules, Standing, Step
from models.quantity import Q, Unmeasured
from service.columns import print_columns
from service.plans import dose, what
from service.speaking import speaker
from service.words import CAUTION, number


def show_path(path: Path, rules: Rules, console: Console, standing: Standing | None = None) -> None:
    """Print the steps, the large ones in words, the rules, notes and cautions."""
    say = speaker(console)
    here, goal = path.steps[0], path.goal
    say(f"From {what(here.prescription)} to {what(goal)}")
    values = {"hands, %\nof weight": [number(step.hands) for step in path.steps]}
    values[f"{path.goal_limit},\n% of goal"] = [number(step.share) for step in path.steps]
    values |= {"rise\n%": [_rise(step) for step in path.steps]}
    values |= {"changes": [", ".join(step.changed) or "-" for step in path.steps]}
    names = {
        "step": [f"{step.n}{'*' if step.flagged else ''}" for step in path.steps],
        "what": [what(step.prescription) for step in path.steps],
        "start at": [dose(step.prescription) for step in path.steps],
    }
    print_columns(names, values, console, words=frozenset({"changes"}))
    for line in (*_large(path, rules), *_missing(path)):
        say(line)
    say("")
    for line in _rules(path, rules, standing):
        say(line)
    for note in path.notes:
        say(f"Note: {note}")
    cautions = [
        line
        for name in dict.fromkeys(step.prescription.movement for step in path.steps)
        for line in load_movement(name).cautions
    ]
    say(f"Cautions: {' '.join(dict.fromkeys((*cautions, CAUTION)))}")


def _rise(step: Step) -> str:
    return "-" if step.rise is None else f"{step.rise:+.1f}"


def _large(path: Path, rules: Rules) -> Iterator[str]:
    """What fills the steps that are too large."""
    for before, step in pairwise(path.steps):
        if step.flagged and step.first is not None:
            yield (
                f"* Step {step.n} asks {step.rise:.1f} % more than step {before.n}, over {rules.step.largest:g} %: "
                f"stay with {what(before.prescription)} until {dose(step.first)}; then start with {dose(step.prescription)}."
            )
    fills = [str(step.n) for step in path.steps if step.fills]
    if fills:
        yield f"Put in because the next lever alone is too large a step: {', '.join(fills)}."


def _missing(path: Path) -> Iterator[str]:
    values: list[Q] = [value for step in path.steps for value in (step.hands, step.share)]
    for reason in dict.fromkeys(value.reason for value in values if isinstance(value, Unmeasured)):
        yield f"no value: {reason}"


def _rules(path: Path, rules: Rules, standing: Standing | None) -> Iterator[str]:
    if path.halted:
        yield f"No step up: {path.halted}. Ask a qualified coach or a clinician before going on."
        return
    if standing is not None:
        yield f"Now: {DIRECTIONS[standing.direction]} ({standing.why})."
    on, back = rules.move_on, rules.step_back
    every = "every set" if on.sets == 100 else f"{on.sets:g} % of the sets"
    yield f"Move on after {_sessions(on.sessions)} in a row in which {every} met its dose, without pain."
    yield f"Step back after {_sessions(back.sessions)} in a row in which fewer than {back.sets:g} % of the sets did. On pain, stop."
    yield "These rules and doses are common practice, no source; the coach decides."


DIRECTIONS = {"on": "go one step on", "stay": "stay", "back": "go one step back"}


def _sessions(number_of: int) -> str:
    return f"{number_of} session{'' if number_of == 1 else 's'}"
