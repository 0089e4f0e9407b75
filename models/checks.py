"""The checks of one rep or hold: each limit against the value of the same name in the measurement document."""

from collections.abc import Mapping
from operator import attrgetter

from models.conformity import Doubt, doubt, is_too_fine
from models.document import Check, Hold, Rep
from models.limit import Limit
from models.limits import unit
from models.quantity import Measured, Q, Unmeasured

DECIMALS = {"s": 2}
TITLES = {
    "lowering": "Lowering",
    "bottom_pause": "Bottom pause",
    "raising": "Raising",
    "top_pause": "Top pause",
    "in_position": "Time in position",
    "drift": "Drift",
    "worst.hip": "Worst hip angle",
    "worst.deviation": "Largest distance of the hip from the body line",
    "swing": "Swing of the hips",
    "hip_range": "Change of the hip angle",
}
ENDINGS = {"met": "as asked ({})", "missed": "not as asked ({})", "unsure": "too close to the limit ({}) to tell"}
PLACES = {
    "straight": "{} at the straight end",
    "bent": "{} at the bent end",
    "posture": "{} in the hold",
    "sway": "Sway, {},",
}


def check(name: str, measured: Q, limit: Limit, *, known: Doubt | None = None, called: str | None = None) -> Check:
    """Rule on one value.

    A value that is missing, or in another unit than the limit, is unsure and has no probability. `known` replaces the
    doubt that follows from the value's own uncertainty, `called` the name that the reason begins with.
    """
    called = called or title(name)
    if isinstance(measured, Unmeasured):
        return _unsure(name, measured, limit, f"{called} has no value: {measured.reason}.")
    if measured.unit != unit(name):
        need = f"it is known in {measured.unit}, not in {unit(name)}; state the athlete's height"
        return _unsure(name, measured, limit, f"{called} cannot be checked: {need}.")
    doubts = known or doubt(measured, limit)
    verdict = doubts.verdict
    ending = ENDINGS[verdict]
    if verdict != "missed" and is_too_fine(measured, limit):
        verdict, ending = "unsure", "and a band of {} is finer than this clip can show"
    why = f"{called} was {shown(measured)}, {ending.format(f'{limit} {measured.unit}')}."
    return Check(name=name, measured=measured, low=limit.low, high=limit.high, p=doubts.p, verdict=verdict, why=why)


def _unsure(name: str, measured: Q, limit: Limit, why: str) -> Check:
    return Check(name=name, measured=measured, low=limit.low, high=limit.high, p=None, verdict="unsure", why=why)


def compare(name: str, measured: Q, fastest: float | None) -> Check:
    """Show a part that is to be as fast as possible beside the set's fastest; nothing is ruled."""
    if isinstance(measured, Unmeasured):
        why = f"{title(name)} has no value: {measured.reason}."
    else:
        beside = "" if fastest is None else f"; the set's fastest was {fastest:.2f} s"
        why = f"{title(name)} was {shown(measured)}, asked for as fast as possible{beside}."
    return Check(name=name, measured=measured, low=None, high=None, p=None, verdict=None, why=why)


def checks_of(entry: Rep | Hold, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Each limit against the entry's value of that name."""
    return tuple(check(name, value_of(entry, name), limit) for name, limit in limits.items())


def value_of(entry: Rep | Hold, name: str) -> Q:
    """The value that a limit's dotted name stands for; a stroke stands for its duration."""
    if name in ("lowering", "raising"):
        stroke = getattr(entry, name)
        return stroke.duration if stroke is not None else Unmeasured(reason=f"the clip shows no {name}")
    if isinstance(entry, Rep) and name in ("swing", "hip_range"):
        return _larger(entry, name)
    part, _, what = name.partition(".")
    if isinstance(entry, Rep) and part in ("lowering_phases", "raising_phases"):
        stroke = getattr(entry, part.removesuffix("_phases"))
        phases: Mapping[str, Q] = {} if stroke is None else stroke.phases
        return phases.get(what, Unmeasured(reason="the clip was measured without it; measure it again"))
    if isinstance(entry, Rep) and part == "standards":
        measured = {standard.name: standard.distance for standard in entry.standards}
        return measured.get(what, Unmeasured(reason="the clip was measured without it; measure it again"))
    value: Q | None = getattr(entry, name, None) if not what else attrgetter(name)(entry)
    return value if value is not None else Unmeasured(reason="the movement was measured without it; measure it again")


def _larger(rep: Rep, name: str) -> Q:
    """The larger of both strokes' values of that name; no value if one of them has none."""
    values: list[Q | None] = [getattr(stroke, name) for stroke in (rep.lowering, rep.raising) if stroke is not None]
    known = [value for value in values if isinstance(value, Measured)]
    if values and len(known) == len(values):
        return max(known, key=lambda value: value.value)
    reasons = [value for value in values if isinstance(value, Unmeasured)]
    return reasons[0] if reasons else Unmeasured(reason="the clip was measured without it; measure it again")


def title(name: str) -> str:
    """The value's name as a sentence begins with it."""
    if name in TITLES:
        return TITLES[name]
    part, _, what = name.partition(".")
    if part == "standards":
        return what.replace("-", " ").capitalize()
    if part.endswith("_phases"):
        return f"{what.replace('-', ' ').capitalize()} in the {part.removesuffix('_phases')}"
    return PLACES[part].format(what.replace("_", " ")).capitalize()


def shown(measured: Measured) -> str:
    """`4.52 ±0.08 s`."""
    places = DECIMALS.get(measured.unit, 1)
    return f"{measured.value:.{places}f} ±{measured.U95:.{places}f} {measured.unit}"
