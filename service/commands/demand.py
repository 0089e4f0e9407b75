"""`plumbrep demand`: what a variant asks of the body, and which scaling would make it ask so much."""

from pathlib import Path
from typing import Annotated

import typer

from models.body.athlete import Athlete
from models.errors import BadInput
from models.movements import load_movement
from models.prescription import Prescription
from service.asked import read_asked
from service.commands.options import Age, AthleteHeightCm, Json, MassKg, PlotFile, Sex
from service.delivery import STDOUT, hand_over
from service.demand_table import show_demands
from service.demanding import Demands, Knob, Of, find, of_document, of_prescription, of_variants, read_document
from service.output import require_writable, writing
from service.plans import what
from service.progress import progress_bar
from service.tables import stdout_console


def demand(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="WHAT [KEY=VALUE ...]",
            help="A movement, PRESCRIPTION.toml, or a measured DOCUMENT.json; with the keys of a prescription.",
            show_default=False,
        ),
    ],
    *,
    height_cm: AthleteHeightCm = None,
    mass_kg: MassKg = None,
    sex: Sex = None,
    age: Age = None,
    variants: Annotated[bool, typer.Option("--variants", help="Also all variants of the movement.")] = False,
    find_: Annotated[
        Knob | None, typer.Option("--find", help="Which of these makes it --percent?", show_default=False)
    ] = None,
    percent: Annotated[
        float | None, typer.Option(min=1, max=400, metavar="P", help="What it is to ask, in %.", show_default=False)
    ] = None,
    of: Annotated[
        Of | None,
        typer.Option("--of", help="% of body weight at the hands, or of the full version.", show_default=False),
    ] = None,
    json: Json = None,
    plot: PlotFile = None,
) -> None:
    """Tell what a variant asks of the body."""
    if (find_ is None) != (percent is None):
        raise BadInput("--find and --percent go together: say which scaling to look for, and how much it is to ask")
    for out in (json, plot):
        if out is not None and out != STDOUT:
            require_writable(out)
    athlete = Athlete(sex=sex, height_cm=height_cm, mass_kg=mass_kg, age=age)
    found = _demands(words, athlete, variants=variants or plot is not None)
    if find_ is not None and percent is not None:
        found = found.model_copy(update={"answer": find(find_, percent, of, _plan(words), athlete)})
    if plot is not None:
        _draw(found, plot)
    hand_over(found, json, lambda: show_demands(found, stdout_console()))


def _demands(words: list[str], athlete: Athlete, *, variants: bool) -> Demands:
    with progress_bar() as report:
        report("what it asks", 0.0)
        plan = _plan(words)
        movement = load_movement(plan.movement)
        if words[0].endswith(".json"):
            rows, name = of_document(read_document(Path(words[0])), plan, athlete), f"{what(plan)}, as measured"
        else:
            rows, name = of_prescription(plan, athlete), what(plan)
        report("its variants", 0.3)
        others = of_variants(movement, athlete) if variants else ()
        return Demands(movement=movement.name, what=name, athlete=athlete, rows=rows, variants=others)


def _plan(words: list[str]) -> Prescription:
    """What was asked for; of a measured document, its movement with the keys beside it."""
    if words[0].endswith(".json"):
        return read_asked([read_document(Path(words[0])).movement, *words[1:]])
    return read_asked(words)


def _draw(found: Demands, out: Path) -> None:
    from service.demand_plot import draw_demands

    with writing(out):
        draw_demands(found, out)
