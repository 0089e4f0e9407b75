"""`plumbrep gym`: how a gym begins, at the machine's own command line."""

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from service.commands.service_settings import reaching, read_settings, require_folder

if TYPE_CHECKING:
    from service.running.beginnings import Beginnings

Name = Annotated[str, typer.Argument(metavar="GYM", help="The gym's name.", show_default=False)]
Login = Annotated[
    str | None, typer.Option("--login", metavar="LOGIN", help="Make the gym; its first owner signs in with this.")
]
Owner = Annotated[str | None, typer.Option("--owner", metavar="NAME", help="The owner's name; else the login.")]
Zone = Annotated[str, typer.Option("--time-zone", metavar="ZONE", help="Of a new gym, like Europe/Lisbon.")]
Athlete = Annotated[
    str | None, typer.Option("--athlete", metavar="NAME", help="Add an athlete, and print the link to come in by.")
]


Factor = Annotated[
    str | None,
    typer.Option("--second-factor", metavar="LOGIN", help="Give a coach or owner a new second factor, and print it."),
]


def gym(
    name: Name,
    login: Login = None,
    owner: Owner = None,
    zone: Zone = "UTC",
    athlete: Athlete = None,
    second_factor: Factor = None,
) -> None:
    """Make a gym and its first owner, add an athlete to one, or give a coach or owner a second factor."""
    if login is None and athlete is None and second_factor is None:
        raise typer.BadParameter("say --login to make the gym, --athlete or --second-factor to add to it")
    settings = read_settings()
    require_folder(settings)
    from service.running.beginnings import beginnings

    with reaching(), beginnings(settings) as begin:
        if login is not None:
            begin.require_free(name, login)
            begin.gym(name, zone, login, owner or login, _password())
            typer.echo(f"{name}: made; {login} can sign in at {settings.url}")
        if athlete is not None:
            typer.echo(_link(begin, name, athlete))
        if second_factor is not None:
            typer.echo(_factor(begin, name, second_factor))


def _factor(begin: "Beginnings", name: str, login: str) -> str:
    made = begin.factor(name, login)
    return (
        f"{made.secret}\n{made.address}\n(for {login}: type the first line into an authenticator app; shown only now)"
    )


def _link(begin: "Beginnings", name: str, athlete: str) -> str:
    address, expires = begin.athlete(name, athlete)
    return f"{address}\n(for {athlete}, until {expires:%Y-%m-%d}; shown only now)"


def _password() -> str:
    """Asked for twice at a terminal, else the first line of standard input: an argument could be read by every process."""
    if sys.stdin.isatty():
        return str(typer.prompt("Password", hide_input=True, confirmation_prompt=True))
    return sys.stdin.readline().rstrip("\r\n")
