"""`plumbrep movements`: the catalogue."""

from collections.abc import Iterator
from typing import Annotated

import typer
from rich import box
from rich.table import Table

from models.movements import Movement, load_movement, movement_names
from models.movements.movement import Angle, Band
from service.tables import stdout_console
from service.words import CAUTION


def movements(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="Show everything about this one.", show_default=False)
    ] = None,
) -> None:
    """List the movements that can be measured, or show one."""
    console = stdout_console()
    if name is None:
        console.print(_catalogue())
        return
    for line in describe(load_movement(name)):
        console.print(line, soft_wrap=not console.is_terminal)


def _catalogue() -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False)
    for heading in ("name", "title", "usual", "body line", "driving joint", "views"):
        table.add_column(heading, no_wrap=heading == "name")
    for movement in map(load_movement, movement_names()):
        driving = movement.reps.driving if movement.reps else "-"
        usual = "hold" if movement.usual == "hold" else "reps"
        table.add_row(movement.name, movement.title, usual, movement.line, driving, ", ".join(movement.views))
    return table


def describe(movement: Movement) -> Iterator[str]:
    """Yield all that the catalogue says about a movement, one line each."""
    yield f"{movement.name}: {movement.title}"
    yield f"Usually done as: {'a hold' if movement.usual == 'hold' else 'reps'}"
    tilt = "angle to the floor (body angle)" if movement.tilt == "body" else "angle from the vertical (lean)"
    yield f"Body line: {movement.line}, its {tilt}"
    yield f"Filmed from: {', '.join(movement.views)}"
    yield from _rep_lines(movement)
    yield f"In a hold these stay still: {', '.join(movement.hold.still)}"
    yield f"It is this hold while: {_bands(movement.hold.posture)}"
    yield "Variants:"
    for name, variant in movement.variants.items():
        line = f"; body line {variant.line}" if variant.line else ""
        bands = f"; {_bands(variant.posture)}" if variant.posture else ""
        yield f"  {name}: {variant.title}{line}{bands}"
    for heading, lines in (
        ("Cannot be measured", movement.not_measured),
        ("Look for", movement.faults),
        ("Cautions", (*movement.cautions, CAUTION)),
    ):
        yield f"{heading}:"
        yield from (f"  {line}" for line in lines)


def _rep_lines(movement: Movement) -> Iterator[str]:
    if movement.reps is None:
        yield "Reps: none, it is only held"
        return
    reps = movement.reps
    last = "raising" if reps.first == "lowering" else "lowering"
    order = "lowering only" if reps.lowering_only else f"{reps.first}, then {last}"
    yield f"A rep: {order}; driven by the {reps.driving} angle, which {reps.lowering} in lowering"
    yield f"Range: {reps.driving} from {reps.straight:g}° (straight) to {reps.bent:g}° (bent)"


def _bands(posture: dict[Angle, Band]) -> str:
    return ", ".join(f"{angle} {band.low:g}° to {band.high:g}°" for angle, band in posture.items())
