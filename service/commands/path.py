"""`plumbrep path`: what to prescribe from where an athlete is to what is out of reach."""

import shlex
from pathlib import Path
from typing import Annotated

import typer

from models.body.athlete import Athlete
from models.errors import PathError
from models.path import (
    Available,
    History,
    Rules,
    Standing,
    lay_path,
    owned,
    pain_since,
    read_available,
    read_history,
    read_rules,
    standing,
)
from models.prescription import Prescription
from models.prescription.scaled import WrittenBand
from service.asked import read_asked
from service.commands.options import Age, AthleteHeightCm, Json, MassKg, PlotFile, Sex
from service.delivery import STDOUT, hand_over
from service.output import require_writable, writing
from service.path_table import show_path
from service.progress import progress_bar
from service.tables import stdout_console

WITHOUT_PAIN = "the athlete has reported pain; no step up until a person clears it"


def path(
    *,
    goal: Annotated[
        str, typer.Option(metavar="WHAT", help='What is out of reach, as "front-lever".', show_default=False)
    ],
    owns: Annotated[
        str | None, typer.Option(metavar="WHAT", help='What is owned, as "row body_angle=30".', show_default=False)
    ] = None,
    history: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Sessions, in place of --owns.", show_default=False)
    ] = None,
    pain: Annotated[bool, typer.Option("--pain", help="The athlete has reported pain.")] = False,
    bands: Annotated[
        str | None, typer.Option(metavar="KG,KG", help="Bands, by what they take off.", show_default=False)
    ] = None,
    boxes: Annotated[str | None, typer.Option(metavar="CM,CM", help="Heights of boxes.", show_default=False)] = None,
    loads: Annotated[str | None, typer.Option(metavar="KG,KG", help="Weights to hang on.", show_default=False)] = None,
    available: Annotated[
        Path | None, typer.Option(metavar="FILE", help="All that is there, in a file.", show_default=False)
    ] = None,
    rules: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Other rules than the usual ones.", show_default=False)
    ] = None,
    height_cm: AthleteHeightCm = None,
    mass_kg: MassKg = None,
    sex: Sex = None,
    age: Age = None,
    json: Json = None,
    plot: PlotFile = None,
) -> None:
    """Lay the steps from what is owned to a goal."""
    for out in (json, plot):
        if out is not None and out != STDOUT:
            require_writable(out)
    ruled = read_rules(rules) if rules else Rules()
    there = _available(available, bands, boxes, loads)
    athlete = Athlete(sex=sex, height_cm=height_cm, mass_kg=mass_kg, age=age)
    past = read_history(history) if history else None
    wanted = read_asked(shlex.split(goal), ruled.start)
    with progress_bar() as report:
        report("laying the path", 0.0)
        here, now = _here(owns, past, ruled)
        halted = WITHOUT_PAIN if pain else _pain(past)
        found = lay_path(here, wanted, athlete, available=there, rules=ruled, halted=halted, report=report)
    if plot is not None:
        from service.path_plot import draw_path

        with writing(plot):
            draw_path(found, plot)
    hand_over(found, json, lambda: show_path(found, ruled, stdout_console(), now))


def _here(owns: str | None, past: History | None, rules: Rules) -> tuple[Prescription, Standing | None]:
    """What is owned: as it was said, or the last one that the history shows as owned."""
    if (owns is None) == (past is None):
        raise PathError("say what is owned: either --owns WHAT or --history FILE")
    if owns is not None or past is None:
        return read_asked(shlex.split(owns or ""), rules.start), None
    found = owned(past, rules)
    if not found:
        asked = rules.move_on
        raise PathError(
            f"the history shows nothing that is owned: no variant was met in {asked.sessions} sessions in a row; "
            "say what is, with --owns"
        )
    return found[-1], standing(past, rules)


def _pain(past: History | None) -> str | None:
    day = None if past is None else pain_since(past)
    return None if day is None else f"pain was reported on {day}, and nobody has cleared it since"


def _available(file: Path | None, bands: str | None, boxes: str | None, loads: str | None) -> Available:
    there = read_available(file) if file else Available()
    more = {
        "bands": (*there.bands, *(WrittenBand(kg=kg) for kg in _numbers("--bands", bands))),
        "boxes_cm": (*there.boxes_cm, *_numbers("--boxes", boxes)),
        "loads_kg": (*there.loads_kg, *_numbers("--loads", loads)),
    }
    return there.model_copy(update=more)


def _numbers(option: str, text: str | None) -> list[float]:
    try:
        found = [float(each) for each in text.split(",")] if text else []
    except ValueError:
        found = [0.0]
    if any(not 0 < each <= 300 for each in found):
        raise PathError(f"{option}: {text!r} is not a list of numbers up to 300; write it as {option} 5,10,20")
    return found
