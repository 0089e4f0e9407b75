"""How to set up the phone, in a few plain hints that depend on the movement."""

from dataclasses import dataclass

from models.movements import load_movement
from models.movements.views import View
from models.prescription import Prescription
from service.pages.text import say


@dataclass(frozen=True)
class Hints:
    """What to look to before the camera runs."""

    view: str
    edge: str
    level: str
    lens: str
    cannot_show: tuple[str, ...]
    """What this view does not show, so that nobody expects it."""


def hints_for(plan: Prescription | None) -> Hints:
    """The hints for a prescription; None: for whatever is filmed."""
    if plan is None:
        return _hints("side", "body", ())
    movement = load_movement(plan.movement)
    lens = "hang" if movement.position.hands == "above" else "floor" if movement.tilt == "body" else "body"
    return _hints(movement.measured_from, lens, movement.not_measured)


def _hints(view: View, lens: str, cannot_show: tuple[str, ...]) -> Hints:
    return Hints(
        view=say(f"athlete.hint.view.{view}"),
        edge=say("athlete.hint.edge"),
        level=say("athlete.hint.level"),
        lens=say(f"athlete.hint.lens.{lens}"),
        cannot_show=cannot_show,
    )
