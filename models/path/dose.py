"""More or less of a dose: what fills a step that nothing else fills. Common practice, no source."""

from math import ceil

from models.prescription import Prescription
from models.tempo import Tempo

LONGER, MORE_REPS = 1.5, 3
"""Factor on a hold or on a lowering, and reps to add."""


def more(plan: Prescription) -> Prescription:
    """Half as long again for a hold or a lowering, three reps more for reps."""
    if plan.hold is not None:
        return plan.model_copy(update={"hold": round(LONGER * plan.hold)})
    if plan.lowering_only and plan.tempo is not None and isinstance(plan.tempo.lowering, float):
        return plan.model_copy(update={"tempo": Tempo(lowering=round(LONGER * plan.tempo.lowering))})
    return plan.model_copy(update={"reps": (plan.reps or 0) + MORE_REPS})


def less(plan: Prescription, percent: float) -> Prescription:
    """This share of the reps, or of the seconds of a hold, at least one."""
    if plan.hold is not None:
        return plan.model_copy(update={"hold": max(1.0, round(plan.hold * percent / 100))})
    return plan.model_copy(update={"reps": max(1, ceil((plan.reps or 1) * percent / 100))})
