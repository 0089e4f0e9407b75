"""The catalogue: one data file per movement, and the code that reads them."""

from models.movements.movement import Movement, load_movement, movement_names

__all__ = ["Movement", "load_movement", "movement_names"]
