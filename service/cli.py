"""The command `plumbrep`."""

from typing import Any

import typer
from typer.core import TyperGroup

from models.errors import BadInput
from service.commands.backup import backup
from service.commands.check import check
from service.commands.demand import demand
from service.commands.demo import demo
from service.commands.draw import draw
from service.commands.gym import gym
from service.commands.measure import measure
from service.commands.movements import movements
from service.commands.path import path
from service.commands.prescribe import prescribe
from service.commands.restore import restore
from service.commands.serve import serve
from service.commands.tidy import tidy
from service.commands.work import work

BAD_INPUT = 2  # exit status, the same as for a wrong option


class Commands(TyperGroup):
    """The commands; bad input to any of them ends with one line on standard error."""

    def invoke(self, ctx: Any) -> Any:
        """Run the chosen command."""
        try:
            return super().invoke(ctx)
        except BadInput as fault:
            typer.echo(f"plumbrep: {_one_line(str(fault))}", err=True)
            raise typer.Exit(BAD_INPUT) from fault


def _one_line(message: str) -> str:
    """Escape what a file name may hold and a terminal would obey: line ends, control characters."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in message)


app = typer.Typer(
    name="plumbrep",
    cls=Commands,
    help="Measure bodyweight-strength training from a phone clip, and check it against a prescription.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,  # plain help and errors: nothing is folded into boxes
    pretty_exceptions_enable=False,  # an unexpected error stays a traceback
)
for command in (
    *(measure, check, movements, demand, path, prescribe, draw, demo),
    *(serve, work, gym, backup, restore, tidy),
):
    app.command()(command)


def main() -> None:
    """Run the command line."""
    app(prog_name="plumbrep")


if __name__ == "__main__":
    main()
