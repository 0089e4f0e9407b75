"""All variants that could be a step: a movement's own levers, angles and heights, with help and load where there is some."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from models.movements import Movement, Variant, load_movement
from models.path.available import Available
from models.path.rules import Rules
from models.path.start import start_dose
from models.prescription import Prescription
from models.scaling import Leveraged

Keys = Mapping[str, Any]
"""Keys of a prescription, as in its file."""
STEEPEST = 75.0
"""Degrees: the most upright body angle that is offered."""
RAISED: Mapping[Leveraged, str] = {"hands_raised": "hands_raised_cm", "feet_raised": "feet_raised_cm"}


def plans(movement: Movement, levers: Iterable[Keys], ways: Iterable[Keys], rules: Rules) -> Iterator[Prescription]:
    """Each lever in each way of doing it, with the dose to start at."""
    ways = list(ways)
    for lever in levers:
        for way in ways:
            yield plan(movement, {**lever, **way}, rules)


def plan(movement: Movement, keys: Keys, rules: Rules) -> Prescription:
    """A prescription of these keys, with the dose to start at.

    Raises:
        pydantic.ValidationError: they contradict each other, or do not suit the movement.
    """
    held = keys.get("held")
    keys = {key: value for key, value in keys.items() if key != "held"}
    dose = start_dose(movement, rules.start, held=held, lowering_only=bool(keys.get("lowering_only")))
    tree = dose.model_dump(mode="json", exclude_defaults=True)
    return Prescription.model_validate({"movement": movement.name, **tree, **keys})


def levers(movement: Movement, support: str | None, available: Available, rules: Rules) -> list[Keys]:
    """The movement itself, its levers, body angles and heights; never two of them at once.

    `support` is the variant that is another support, if it is to be done on that. On the floor the angle follows from
    boxes; under a bar it is chosen, and boxes raise the feet; in straps it is chosen, the feet under their anchor. Where
    the catalogue names levers, these are taken.
    """
    suits = movement.scalings.leverage
    base: Keys = {} if support is None else {"variant": support}
    found: list[Keys] = []
    if support is None:
        found += [{"variant": name} for name, variant in movement.variants.items() if _is_lever(variant)]
    demand = movement.as_variant(support).demand
    hands = None if demand is None else demand.hands
    if "body" in suits and movement.tilt == "body" and hands in ("bar", "straps") and not movement.scalings.levers:
        step = rules.step.body_angle
        found += [{**base, "body_angle": step * n} for n in range(int(STEEPEST / step) + 1)]
    else:
        found.append(base)
    heights = available.boxes_cm or _even(rules)
    for what, key in RAISED.items():
        if what in suits and (hands == "floor" or (hands == "bar" and what == "feet_raised")):
            name = base or _raised_variant(movement, what)
            found += [{**name, key: height} for height in heights]
    return found


def support_of(plan: Prescription) -> str | None:
    """The variant, if it is another support."""
    variant = load_movement(plan.movement).variants.get(plan.variant or "")
    return plan.variant if variant is not None and variant.support is not None else None


def helped(movement: Movement, available: Available) -> list[Keys]:
    """With each band."""
    if "band" not in movement.scalings.assistance:
        return []
    return [{"band": band.model_dump(mode="json", exclude_defaults=True)} for band in available.bands]


def loaded(movement: Movement, available: Available) -> list[Keys]:
    """With each weight, where it usually hangs."""
    if not movement.scalings.load_at:
        return []
    return [{"load": {"kg": kg}} for kg in available.loads_kg]


def other_ways(movement: Movement) -> list[Keys]:
    """Lowered only, and held near the bent end of the range, where the muscles work, if the catalogue names that.

    Args:
        movement: As the variant that is to be done.
    """
    suits, reps = movement.scalings, movement.reps
    found: list[Keys] = []
    if suits.lowering_only and reps is not None:
        found.append({"lowering_only": True})
    if suits.hold_at and reps is not None and movement.usual == "reps":
        found.append({"held": True, "hold_at": min(max(suits.hold_at), reps.bent)})
    return found


def on_support_of(goal: Prescription, owned: Prescription) -> Prescription:
    """The goal on the support of what is owned, or on its movement's usual one: the support is the last thing to change."""
    held = owned.movement == goal.movement
    keep = support_of(owned) if held else None
    variant = goal.variant if goal.variant != support_of(goal) else keep
    return goal.model_copy(update={"variant": variant, "stability": owned.stability if held else None})


def way_of(plan: Prescription) -> Keys:
    """The way in which something is done, apart from its lever: lowered only, held, raised."""
    if plan.lowering_only:
        return {"lowering_only": True}
    if plan.hold is not None:
        return {"held": True} if plan.hold_at is None else {"held": True, "hold_at": plan.hold_at}
    return {"held": False}


def movements_between(owned: str, goal: str, rules: Rules) -> list[Movement]:
    """The movements from the owned one to the goal, as the rules name them, each once."""
    via = list(rules.via.get(goal, ())) if owned != goal else []
    if owned in via:
        via = via[via.index(owned) + 1 :]
    names = dict.fromkeys([owned, *via, goal])
    return [load_movement(name) for name in names]


def _is_lever(variant: Variant) -> bool:
    """Whether a variant is a lever of its own, not another support, and not only a height."""
    raised = variant.demand is not None and (variant.demand.hands_raised or variant.demand.feet_raised)
    return variant.support is None and not raised


def _raised_variant(movement: Movement, what: Leveraged) -> Keys:
    """The variant that is only this height, if the movement has one: its name says what is done."""
    for name, variant in movement.variants.items():
        change = variant.demand
        if variant.support is None and change is not None and change.model_fields_set == {what}:
            return {"variant": name}
    return {}


def _even(rules: Rules) -> tuple[float, ...]:
    step = rules.step
    return tuple(step.height_cm * n for n in range(1, int(step.highest_cm / step.height_cm) + 1))
