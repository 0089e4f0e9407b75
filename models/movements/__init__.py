"""The catalogue: one data file per movement, and the code that reads them."""

from models.movements.catalogue import load_movement, movement_names, own_movements
from models.movements.entry import Angle, Band, Line
from models.movements.movement import Movement
from models.movements.reps import Reps
from models.movements.variant import Variant

__all__ = ["Angle", "Band", "Line", "Movement", "Reps", "Variant", "load_movement", "movement_names", "own_movements"]
