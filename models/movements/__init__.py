"""The catalogue: one data file per movement, and the code that reads them."""

from models.movements.movement import Angle, Band, Line, Movement, Reps, Variant, load_movement, movement_names

__all__ = ["Angle", "Band", "Line", "Movement", "Reps", "Variant", "load_movement", "movement_names"]
