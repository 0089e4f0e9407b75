"""A movement of the catalogue in words."""

from collections.abc import Iterable, Iterator
from typing import Final

from models.limits import Limits, unit
from models.movements import Angle, Band, Movement, Reps
from models.movements.standard import StandardEntry
from models.movements.views import View
from service.words import CAUTION

GROUPS: Final = {
    "push": "Push",
    "pull": "Pull",
    "legs": "Legs",
    "levers": "Levers",
    "balance": "Balance",
    "trunk": "Trunk",
}
FROM: Final[dict[View, str]] = {"side": "side", "front": "front", "back": "back", "feet": "feet's end"}
SCALINGS: Final = {
    "assistance": "assistance",
    "lowering_only": "lowering only",
    "load": "added load",
    "hold": "static hold",
    "leverage": "leverage and angle",
    "stability": "stability",
}


def describe(movement: Movement) -> Iterator[str]:
    """Yield all that the catalogue says about a movement, line by line; what belongs under a heading is indented."""
    yield f"{movement.name}: {movement.title}"
    yield f"Usually done as {'a hold' if movement.usual == 'hold' else 'reps'}"
    yield from _section("Measured", _measured(movement))
    yield from _section("Standards", map(standard, movement.standards))
    yield from _section("Usually asked (common practice, no source)", limits(movement.asked))
    yield from _section("Variants, the lightest first", _variants(movement))
    yield from _section("Scalings", (f"{SCALINGS[name]}: {movement.scalings.how[name]}" for name in movement.suiting))
    for name, view in movement.views.items():
        yield from _section(f"From the {FROM[name]} can be seen", view.shows)
        yield from _section(f"From the {FROM[name]} cannot be seen", view.cannot_show)
    yield from _section("Look for", movement.faults)
    yield from _section("Cautions", (*movement.cautions, CAUTION))


def driven_by(reps: Reps | None) -> str:
    """What makes a rep: the angle's name, or a dash for a movement that is only held."""
    return reps.driving if reps else "-"


def seen_from(movement: Movement) -> str:
    """The views, the one it is measured from first."""
    return ", ".join(FROM[view] for view in movement.views)


def standard(entry: StandardEntry) -> str:
    """`chest-to-bar: Chest to the bar; chest touching the grip at the bent end`."""
    point, reference = (name.replace("_", " ") for name in (entry.point, entry.reference))
    return f"{entry.name}: {entry.title}; {point} {entry.way} the {reference} at the {entry.end} end"


def limits(asked: Limits) -> Iterator[str]:
    """Each limit that is written: `straight.elbow: at most 20°`."""
    for name, limit in asked.by_name(tuple(Limits.model_fields)).items():
        what = unit(name)
        yield f"{name}: {limit}{'°' if what == 'deg' else f' {what}'}"


def _section(heading: str, lines: Iterable[str]) -> Iterator[str]:
    found = [f"  {line}" for line in lines]
    return iter([f"{heading}:", *found] if found else [])


def _measured(movement: Movement) -> Iterator[str]:
    tilt = "angle to the floor (body angle)" if movement.tilt == "body" else "angle from the vertical (lean)"
    yield f"from the {FROM[movement.measured_from]}, in the {movement.plane} plane"
    yield f"body line: {movement.line}, its {tilt}"
    yield from _rep(movement.reps)
    yield f"a hold: {', '.join(movement.hold.still)} stay still; it is this hold while {_bands(movement.hold.posture)}"


def _rep(reps: Reps | None) -> Iterator[str]:
    if reps is None:
        yield "a rep: none, it is only held"
        return
    last = "raising" if reps.first == "lowering" else "lowering"
    order = "lowering only" if reps.lowering_only else f"{reps.first}, then {last}"
    what = f"{reps.driving} angle"
    if reps.driving == "reach":
        what = "height of the shoulders over the hands (reach, % of the arm)"
    yield f"a rep: {order}; driven by the {what}, which {reps.lowering} in lowering"
    ends = (f" ({reps.ends.straight})", f" ({reps.ends.bent})") if reps.ends else ("", "")
    yield f"range: {_value(reps.driving, reps.straight)}{ends[0]} to {_value(reps.driving, reps.bent)}{ends[1]}"
    for phase in reps.phases.values():
        yield f"{phase.title.lower()}, told apart: {reps.driving} {_band(reps.driving, phase.band)}"
    if reps.strict:
        swing, bend = reps.strict.swing, reps.strict.hip_range
        kept = [] if swing is None else [f"the hips swing at most {swing:g} % of height"]
        kept += [] if bend is None else [f"the hip angle changes at most {bend:g}°"]
        yield f"strict while {' and '.join(kept)}"


def _variants(movement: Movement) -> Iterator[str]:
    for name, variant in movement.variants.items():
        changes = [f"body line {variant.line}"] * (variant.line is not None)
        if variant.range and movement.reps:
            changes.append(f"{movement.reps.driving} {_band(movement.reps.driving, variant.range)}")
        changes += [_bands(variant.posture)] if variant.posture else []
        yield "; ".join([f"{name}: {variant.title}", *changes])


def _bands(posture: dict[Angle, Band]) -> str:
    return ", ".join(f"{angle} {_band(angle, band)}" for angle, band in posture.items())


def _band(angle: Angle, band: Band) -> str:
    return f"{_value(angle, band.low)} to {_value(angle, band.high)}"


def _value(angle: Angle, value: float) -> str:
    return f"{value:g} %" if angle == "reach" else f"{value:g}°"
