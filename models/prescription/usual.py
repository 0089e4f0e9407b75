"""The limits that the catalogue calls usual, added to a prescription."""

from models.limits import HOLD_PARTS, REP_PARTS, Limits
from models.prescription.prescribed import Prescription


def with_usual_limits(plan: Prescription) -> Prescription:
    """The prescription with the variant's usual limits where it says nothing of the same value itself.

    Raises:
        pydantic.ValidationError: a usual limit contradicts what is prescribed.
    """
    movement = plan.as_movement()
    said = plan.rep_limits() if plan.hold is None else plan.hold_limits()
    parts = REP_PARTS if plan.hold is None else HOLD_PARTS
    usual = {name: limit for name, limit in movement.asked.by_name(parts).items() if name not in said}
    limits = Limits.of(usual | plan.limits.by_name(parts))
    tree = plan.model_dump(mode="json", exclude_defaults=True)
    return Prescription.model_validate({**tree, "limits": limits.model_dump(mode="json", exclude_defaults=True)})
