"""How a movement or variant is called where it heads something."""

from models.errors import BadInput
from models.movements import Movement, load_movement
from service.pages.text import heading


def known(movement: str) -> Movement | None:
    """A movement of the records; None where the catalogue no longer has it."""
    try:
        return load_movement(movement)
    except BadInput:
        return None


def title(movement: str) -> str:
    """A movement as it is called; by its plain name where the catalogue no longer has it."""
    found = known(movement)
    return found.title if found else movement


def called(variant: str | None, movement: str) -> str:
    """What was prescribed, or the movement alone, as a heading has it."""
    return heading(variant or title(movement))
