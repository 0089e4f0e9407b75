"""A prescription in a few words: what is done, and how much of it."""

from models.movements import load_movement
from models.prescription import Prescription
from models.prescription.scaled import WrittenBand


def what(plan: Prescription) -> str:
    """`front-lever, tuck, band 10 kg`."""
    movement = load_movement(plan.movement)
    raised = {"hands": plan.hands_raised_cm, "feet": plan.feet_raised_cm}
    told = {f"{limb}-raised" for limb, height in raised.items() if height is not None}
    parts = [movement.name]
    parts += [plan.variant] if plan.variant and plan.variant not in told else []
    parts += [f"body at {plan.body_angle:g}°"] if plan.body_angle is not None else []
    parts += [f"{limb} {height:g} cm up" for limb, height in raised.items() if height is not None]
    parts += [_band(plan.band)] if plan.band else []
    parts += ["with a partner"] if plan.partner else []
    parts += [f"{plan.load.kg:g} kg added"] if plan.load else []
    parts += ["lowering only"] if plan.lowering_only else []
    parts += [f"held at {plan.hold_at:g}°"] if plan.hold_at is not None else []
    parts += ["held"] if plan.hold and plan.hold_at is None and movement.usual == "reps" else []
    parts += [f"on {plan.stability.replace('-', ' ')}"] if plan.stability else []
    return ", ".join(parts)


def dose(plan: Prescription) -> str:
    """`3 x 5, 3-0-1-0` or `4 x 10 s`."""
    if plan.hold is not None:
        return f"{plan.sets} x {plan.hold:g} s"
    tempo = f", {plan.tempo}" if plan.tempo else ""
    return f"{plan.sets} x {plan.reps}{tempo}"


def _band(band: WrittenBand) -> str:
    if band.kg is not None:
        return f"band {band.kg:g} kg"
    return f"band {band.calibration[0].kg:g} to {band.calibration[-1].kg:g} kg"
