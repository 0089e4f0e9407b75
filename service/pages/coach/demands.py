"""What was prescribed to an athlete asked of the body, over time, and what one scaling asks over its range."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Any, Final

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from models.body.athlete import Athlete
from models.body.catalogue import demand, demand_entry, situation_of
from models.body.demand import Demand, untold, value_of
from models.errors import BadInput, DemandError
from models.movements import load_movement
from models.prescription import Prescription, parse_prescription
from models.prescription.write import write_prescription
from models.quantity import Measured
from service.asked import read_asked
from service.demanding import Knob
from service.pages.text import say
from service.records import Clip, Measurement, PrescriptionVersion
from service.records import Prescription as Prescribed
from service.words import number

KEYS: Final[dict[Knob, tuple[str, str, tuple[float, float, float]]]] = {
    "body-angle": ("body_angle", "°", (-10, 70, 2.5)),
    "band": ("band.kg", " kg", (2.5, 60, 2.5)),
    "hands-raised": ("hands_raised_cm", " cm", (0, 120, 5)),
    "feet-raised": ("feet_raised_cm", " cm", (0, 120, 5)),
    "load": ("load.kg", " kg", (2.5, 60, 2.5)),
}
"""Each knob's key in a prescription, its unit, and the values that are looked at: from, to, by."""
ANCHORS: Final = 4
"""Values whose uncertainty is worked out, which takes a second each; between them it is interpolated."""


@dataclass(frozen=True)
class Curve:
    """What a variant asks at each value of one scaling, in % of body weight at the hands or of the full version."""

    label: str
    unit: str
    knob: str
    at: list[float]
    value: list[float]
    u95: list[float]
    told: list[str]
    texts: list[str]


@dataclass(frozen=True)
class Asking:
    """What a prescription asked when a clip of it was done."""

    done: Any
    movement: str
    variant: str
    hands: str
    share: str
    demand: Demand


@lru_cache(maxsize=64)
def curve(movement_name: str, variant: str | None, by: Knob, athlete: Athlete) -> Curve:
    """The demand over a knob's range, where the model finds a posture.

    Raises:
        BadInput: the movement has no such scaling, nothing is known of its demand, or the athlete's mass is not known.
    """
    movement = load_movement(movement_name)
    key, unit, (low, high, step) = KEYS[by]
    plans = dict(_plans(movement_name, variant, key, np.arange(low, high + step / 2, step)))
    entry = demand_entry(movement, variant, next(iter(plans.values())).scalings())
    by_hands = entry.limit == "hands" and by not in ("band", "load")
    full = situation_of(movement)
    found: dict[float, float] = {}
    for at, plan in plans.items():
        try:
            situation = situation_of(movement, plan.variant, plan.scalings())
            if why := athlete.refused or untold(situation, athlete):
                raise BadInput(why)
            found[at] = value_of(situation, athlete, "hands" if by_hands else "ratio", limit=entry.limit, full=full)
        except DemandError:
            continue
    values = sorted(found)
    doubt = partial(_doubt, movement_name, athlete, by_hands=by_hands)
    while values and doubt(plans[values[-1]]) is None:
        values.pop()
    if len(values) < 2:
        raise DemandError("no posture fits anywhere in the range; choose another scaling or variant")
    anchors = np.unique(np.linspace(0, len(values) - 1, ANCHORS).round().astype(int))
    known = [doubt(plans[values[i]]) or np.nan for i in anchors]
    u95 = [float(each) for each in np.interp(range(len(values)), anchors, known)]
    label = say(f"coach.plan.of_{'hands' if by_hands else 'full'}")
    told = [f"{at:g}{unit}: {found[at]:.1f} ±{half:.1f} {label}" for at, half in zip(values, u95, strict=True)]
    return Curve(
        label=label,
        unit=unit,
        knob=say(f"coach.plan.knob.{by}"),
        at=values,
        value=[found[at] for at in values],
        u95=u95,
        told=told,
        texts=[write_prescription(plans[at]) for at in values],
    )


def over_time(records: Session, athlete_id: str, athlete: Athlete) -> list[Asking]:
    """What was prescribed with each measured clip asked, the oldest first; what has no demand is left out."""
    rows = records.execute(
        select(Clip, PrescriptionVersion, Prescribed.movement)
        .join(Measurement, Measurement.clip_id == Clip.id)
        .join(PrescriptionVersion, PrescriptionVersion.id == Measurement.prescription_version_id)
        .join(Prescribed, Prescribed.id == PrescriptionVersion.prescription_id)
        .where(Clip.athlete_id == athlete_id, Measurement.current)
        .order_by(Clip.arrived)
    ).all()
    found = []
    for clip, version, movement in rows:
        asked = _demand(version.text, athlete)
        if asked is not None:
            done = clip.filmed or clip.arrived
            found.append(Asking(done, movement, version.variant, number(asked.hands), number(asked.effort), asked))
    return sorted(found, key=lambda each: each.done)


@lru_cache(maxsize=256)
def _demand(text: str, athlete: Athlete) -> Demand | None:
    try:
        plan = parse_prescription(text.encode(), "the prescription")
        return demand(load_movement(plan.movement), athlete, variant=plan.variant, scalings=plan.scalings())
    except BadInput:
        return None


def _plans(movement: str, variant: str | None, key: str, values: Any) -> Iterator[tuple[float, Prescription]]:
    fault: BadInput | None = None
    found = False
    for value in values:
        try:
            yield float(value), read_asked([movement, *([f"variant={variant}"] if variant else []), f"{key}={value:g}"])
            found = True
        except BadInput as each:
            fault = each
    if not found and fault is not None:
        raise fault


def _doubt(movement: str, athlete: Athlete, plan: Prescription, *, by_hands: bool) -> float | None:
    """U95 of what a variant asks; None where the help, as far as its pull is known, may carry the whole body."""
    try:
        asked = demand(load_movement(movement), athlete, variant=plan.variant, scalings=plan.scalings())
    except DemandError:
        return None
    value = asked.hands if by_hands else asked.ratio
    return value.U95 if isinstance(value, Measured) else np.nan
