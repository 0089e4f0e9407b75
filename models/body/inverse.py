"""The inverse questions: which body angle, which height, which band or load gives the demand that is wanted?

Each answer is the value of one knob at which the demand of a variant reaches the target, found on a grid over the knob's
range and closed in by Brent's method (scipy). Its uncertainty is that of the demand there, divided by how steeply the
demand changes with the knob (JCGM 100, 5.1.2).
"""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Final, Literal

from models.body.athlete import Athlete
from models.body.catalogue import NOTHING, SOMEONE, demand, demand_entry, situation_of
from models.body.demand import Demand, untold, value_of
from models.body.roots import close_in
from models.errors import DemandError
from models.movements.demand import End
from models.movements.movement import Movement
from models.quantity import Measured, Q, Unit, Unmeasured
from models.scaling import Band, HelpAt, Leverage, Load, LoadAt, Scalings

Target = Literal["hands", "ratio"]
"""What reaches the target: the load at the hands in % of body weight, or the ratio to the full version in %."""
Knob = Callable[[float], Scalings]

GRID: Final = 24
"""Steps in which a knob's range is looked through."""
BODY_ANGLES: Final = (-30.0, 85.0)
"""Degrees between which a body angle is looked for."""
HEIGHTS: Final = (0.0, 2.0)
"""Metres between which hands or feet are raised."""
KILOGRAMS: Final = (0.1, 200.0)
"""Between which a band's pull or a load is looked for."""


def body_angle_for(
    percent: float,
    movement: Movement,
    athlete: Athlete = SOMEONE,
    *,
    of: Target = "hands",
    variant: str | None = None,
    scalings: Scalings = NOTHING,
    end: End | None = None,
) -> Q:
    """Which angle of the body line to the floor makes the demand this much? In degrees.

    Raises:
        DemandError: no angle does, or the movement has no demand.
        MovementError: no such variant.
    """

    def knob(angle: float) -> Scalings:
        return scalings.model_copy(update={"leverage": _leverage(scalings, body=angle)})

    return _answer(percent, of, knob, BODY_ANGLES, "deg", movement, athlete, variant, end)


def height_for(
    percent: float,
    raised: Literal["hands", "feet"],
    movement: Movement,
    athlete: Athlete = SOMEONE,
    *,
    of: Target = "hands",
    variant: str | None = None,
    scalings: Scalings = NOTHING,
    end: End | None = None,
) -> Q:
    """How high must hands or feet be for the demand to be this much? In metres over the floor.

    Raises:
        DemandError: no height does, or the movement has no demand.
        MovementError: no such variant.
    """

    def knob(height: float) -> Scalings:
        return scalings.model_copy(update={"leverage": _leverage(scalings, **{f"{raised}_raised": height})})

    return _answer(percent, of, knob, HEIGHTS, "m", movement, athlete, variant, end)


def band_for(
    percent: float,
    movement: Movement,
    athlete: Athlete,
    *,
    at: HelpAt | None = None,
    over: Literal["hands", "body"] = "hands",
    of: Target = "ratio",
    variant: str | None = None,
    scalings: Scalings = NOTHING,
    end: End | None = None,
) -> Q:
    """Which band, in kilograms that it takes off at the hard end, makes the demand this much?

    Raises:
        DemandError: no band does, or the movement has no demand.
        MovementError: no such variant.
    """
    place: HelpAt = at or (movement.scalings.help_at[0] if movement.scalings.help_at else "feet")

    def knob(kg: float) -> Scalings:
        return scalings.model_copy(update={"band": Band(at=place, kg=kg, over=over), "partner": None})

    return _answer(percent, of, knob, KILOGRAMS, "kg", movement, athlete, variant, end)


def load_for(
    percent: float,
    movement: Movement,
    athlete: Athlete,
    *,
    at: LoadAt | None = None,
    of: Target = "ratio",
    variant: str | None = None,
    scalings: Scalings = NOTHING,
    end: End | None = None,
) -> Q:
    """Which added load, in kilograms, makes the demand this much?

    Raises:
        DemandError: no load does, or the movement has no demand.
        MovementError: no such variant.
    """
    place: LoadAt = at or (movement.scalings.load_at[0] if movement.scalings.load_at else "belt")

    def knob(kg: float) -> Scalings:
        return scalings.model_copy(update={"load": Load(kg=kg, at=place)})

    return _answer(percent, of, knob, KILOGRAMS, "kg", movement, athlete, variant, end)


def _leverage(scalings: Scalings, **heights: float) -> Leverage:
    """The leverage with its knob turned; a body angle takes the place of heights, and the other way round."""
    lever = None if scalings.leverage is None else scalings.leverage.lever
    return Leverage.model_validate({**heights, "lever": lever})


def _answer(
    percent: float,
    of: Target,
    knob: Knob,
    reach: tuple[float, float],
    unit: Unit,
    movement: Movement,
    athlete: Athlete,
    variant: str | None,
    end: End | None,
) -> Q:
    limit = demand_entry(movement, variant, knob(reach[1])).limit
    full = situation_of(movement, end=end) if of == "ratio" else None

    def value(at: float) -> float:
        return value_of(situation_of(movement, variant, knob(at), end), athlete, of, limit=limit, full=full)

    def told(at: float) -> Demand:
        return demand(movement, athlete, variant=variant, scalings=knob(at), end=end)

    reason = athlete.refused or untold(situation_of(movement, variant, knob(reach[1]), end), athlete)
    if reason:
        return Unmeasured(reason=reason)
    found = _crossing(value, percent, reach, unit)
    step = (reach[1] - reach[0]) / 1000
    slope = (value(min(found + step, reach[1])) - value(max(found - step, reach[0]))) / (2 * step)
    doubt: Q = getattr(told(found), of)
    if isinstance(doubt, Unmeasured):
        return doubt
    if abs(slope) < 1e-6:
        return Unmeasured(reason="the demand hardly changes there, so any value gives it")
    return Measured(value=found, U95=doubt.U95 / abs(slope), unit=unit)


def _crossing(value: Callable[[float], float], percent: float, reach: tuple[float, float], unit: Unit) -> float:
    seen = list(_looks(value, reach))
    for (a, at_a), (b, at_b) in pairwise(seen):
        if (at_a - percent) * (at_b - percent) <= 0:
            return close_in(lambda at: value(at) - percent, a, b, 1e-6)
    if not seen:
        raise DemandError("no posture fits anywhere in the range; change the variant")
    low, high = min(v for _, v in seen), max(v for _, v in seen)
    where = f"between {seen[0][0]:.3g} and {seen[-1][0]:.3g} {unit}"
    raise DemandError(
        f"{percent:g} % cannot be reached: {where} it is {low:.0f} to {high:.0f} %; ask for a value in there"
    )


def _looks(value: Callable[[float], float], reach: tuple[float, float]) -> Iterator[tuple[float, float]]:
    """The demand over the knob's range, where there is a posture."""
    for n in range(GRID + 1):
        at = reach[0] + (reach[1] - reach[0]) * n / GRID
        try:
            yield at, value(at)
        except DemandError:
            continue
