"""How a movement or variant is called where it heads something."""

from models.errors import BadInput
from models.movements import load_movement


def title(movement: str) -> str:
    """A movement as it is called; by its plain name where the catalogue no longer has it."""
    try:
        return load_movement(movement).title
    except BadInput:
        return movement


def called(variant: str | None, movement: str) -> str:
    """What was prescribed, or the movement alone, as a heading has it."""
    return heading(variant or title(movement))


def heading(words: str) -> str:
    """Words with a capital at their beginning."""
    return words[:1].upper() + words[1:]
