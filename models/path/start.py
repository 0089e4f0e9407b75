"""The dose that a variant is started at."""

from models.movements import Movement
from models.path.rules import StartDoses
from models.prescription.dose import Dose


def start_dose(movement: Movement, doses: StartDoses, *, held: bool | None = None, lowering_only: bool = False) -> Dose:
    """The dose to start at, by what is done; where `held` is None, as the movement is usually done."""
    if lowering_only:
        return doses.lowering_only
    if held is None:
        held = movement.usual == "hold"
    return doses.hold if held or movement.reps is None else doses.reps
