"""`plumbrep movements`: the catalogue."""

from textwrap import fill
from typing import Annotated

import typer
from rich import box
from rich.console import Console
from rich.table import Table

from models.movements import Movement, load_movement, movement_names, own_movements
from service.catalogue import GROUPS, describe, driven_by, seen_from
from service.tables import stdout_console


def movements(
    name: Annotated[
        str | None, typer.Argument(metavar="NAME", help="Show everything about this one.", show_default=False)
    ] = None,
) -> None:
    """List the movements that can be measured, or show one."""
    console = stdout_console()
    if name is not None:
        for line in describe(load_movement(name)):
            _say(line, console)
        return
    console.print(_catalogue([load_movement(each) for each in movement_names()]))
    for own, file in own_movements().items():
        _say(f"{own} is your own: {file}", console)


def _catalogue(found: list[Movement]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False)
    for heading in ("name", "usual", "driven by", "film from", "variants, the lightest first"):
        table.add_column(heading, no_wrap=heading == "name")
    for group, title in GROUPS.items():
        members = [movement for movement in found if movement.group == group]
        if members:
            table.add_row(title)
        for each in members:
            usual, driving = ("hold" if each.usual == "hold" else "reps"), driven_by(each.reps)
            table.add_row(f"  {each.name}", usual, driving, seen_from(each), ", ".join(each.variants) or "-")
    return table


def _say(line: str, console: Console) -> None:
    """Print a line; a terminal shows the rest of a long one indented below its start."""
    if console.is_terminal:
        indent = " " * (len(line) - len(line.lstrip()) + 2)
        line = fill(line, console.width, subsequent_indent=indent)
    console.print(line, soft_wrap=True)
