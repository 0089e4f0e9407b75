"""Which of the scalings differ between two prescriptions."""

from collections.abc import Mapping
from typing import Final

from models.movements import load_movement
from models.prescription import Prescription

KEYS: Final[Mapping[str, tuple[str, ...]]] = {
    "assistance": ("band", "partner"),
    "added load": ("load",),
    "leverage": ("body_angle", "hands_raised_cm", "feet_raised_cm"),
    "static hold": ("hold_at",),
}


def changes(before: Prescription, after: Prescription) -> tuple[str, ...]:
    """Names of the scalings that are not the same; a change of movement brings the new one's usual way of doing it."""
    found = []
    same_movement = before.movement == after.movement
    if not same_movement:
        found.append("movement")
    for name, keys in KEYS.items():
        if (same_movement or name in ("assistance", "added load")) and _differ(before, after, keys):
            found.append(name)
    if same_movement and _lever(before) != _lever(after) and "leverage" not in found:
        found.append("leverage")
    if same_movement and _support(before) != _support(after):
        found.append("stability")
    if _way(before) != _way(after) and not (not same_movement and _is_usual(before) and _is_usual(after)):
        found.append("lowering only" if "lower" in (_way(before), _way(after)) else "static hold")
    return tuple(dict.fromkeys(found))


def _differ(before: Prescription, after: Prescription, keys: tuple[str, ...]) -> bool:
    return any(getattr(before, key) != getattr(after, key) for key in keys)


def _lever(plan: Prescription) -> str | None:
    """The variant, unless it is only another support."""
    return plan.variant if plan.variant != _support_variant(plan) else None


def _support(plan: Prescription) -> str | None:
    movement = load_movement(plan.movement)
    name = _support_variant(plan)
    return plan.stability or (movement.variants[name].support if name else None) or movement.scalings.usual


def _support_variant(plan: Prescription) -> str | None:
    variant = load_movement(plan.movement).variants.get(plan.variant or "")
    return plan.variant if variant is not None and variant.support is not None else None


def _way(plan: Prescription) -> str:
    if plan.lowering_only:
        return "lower"
    return "raise" if plan.hold is None else "hold"


def _is_usual(plan: Prescription) -> bool:
    usual = load_movement(plan.movement).usual
    return _way(plan) == ("hold" if usual == "hold" else "raise")
