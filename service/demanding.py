"""What variants, prescriptions and measured clips ask of the body, as named rows of numbers."""

from contextlib import suppress
from pathlib import Path
from typing import Final, Literal

from pydantic import ValidationError

from models.body.athlete import Athlete
from models.body.catalogue import demand, demand_entry
from models.body.demand import Demand
from models.body.inverse import Target, band_for, body_angle_for, height_for, load_for
from models.body.measured import demand_of_hold, demand_of_rep
from models.document import Document
from models.errors import BadInput, DemandError
from models.movements import Movement, load_movement
from models.prescription import Prescription
from models.quantity import Frozen, Q

VERSION: Final = "plumbrep.demand/1"
Knob = Literal["body-angle", "hands-raised", "feet-raised", "band", "load"]
Of = Literal["hands", "full"]
FULL = "(in full)"


class Row(Frozen):
    """One posture, variant or rep, and what it asks."""

    name: str
    demand: Demand


class Answer(Frozen):
    """The value of one scaling at which the demand is so many percent."""

    by: Knob
    percent: float
    of: Of
    value: Q


class Demands(Frozen):
    """What is asked of one athlete: the postures of a variant, or the reps and holds of a clip."""

    document: Literal["plumbrep.demand/1"] = VERSION
    movement: str
    what: str
    athlete: Athlete
    rows: tuple[Row, ...]
    variants: tuple[Row, ...] = ()
    answer: Answer | None = None


def of_prescription(plan: Prescription, athlete: Athlete) -> tuple[Row, ...]:
    """The hard end first, then the other if the model finds a posture for it; one row for a hold.

    Raises:
        DemandError: the catalogue does not say what it asks, or no posture fits it.
    """
    movement, scalings = load_movement(plan.movement), plan.scalings()
    if plan.hold is not None:
        name = "held" if plan.hold_at is None else f"held at {plan.hold_at:g}°"
        return (Row(name=name, demand=demand(movement, athlete, variant=plan.variant, scalings=scalings)),)
    first, *others = (end for end in demand_entry(movement, plan.variant, scalings).ends if end != "held")
    rows = [Row(name=first, demand=demand(movement, athlete, variant=plan.variant, scalings=scalings, end=first))]
    for end in others:
        with suppress(DemandError):
            asked = demand(movement, athlete, variant=plan.variant, scalings=scalings, end=end)
            rows.append(Row(name=end, demand=asked))
    return tuple(rows)


def of_variants(movement: Movement, athlete: Athlete) -> tuple[Row, ...]:
    """The movement in full and each of its variants at the hard end, as far as the model finds a posture."""
    rows = []
    for name in (None, *movement.variants):
        with suppress(DemandError):
            rows.append(Row(name=name or FULL, demand=demand(movement, athlete, variant=name)))
    return tuple(rows)


def read_document(path: Path) -> Document:
    """Read a measurement document.

    Raises:
        BadInput: it cannot be read, or is none.
    """
    try:
        return Document.model_validate_json(path.read_bytes())
    except OSError as fault:
        raise BadInput(f"cannot read {path}: {fault.strerror}; give the path of a measurement document") from fault
    except ValidationError as fault:
        raise BadInput(f"{path.name} is not a measurement document; write one with plumbrep measure --json") from fault


def of_document(document: Document, plan: Prescription, athlete: Athlete) -> tuple[Row, ...]:
    """Each rep at its hard end, and each hold, as they were measured; `plan` says with what variant, help and load.

    Raises:
        DemandError: the catalogue does not say what the movement asks, or the document has nothing to tell it of.
    """
    movement, scalings = load_movement(document.movement), plan.scalings()
    rows = []
    for each in document.sets:
        of = f"set {each.n}, " if len(document.sets) > 1 else ""
        for rep in each.reps:
            asked = demand_of_rep(rep, movement, athlete, variant=plan.variant, scalings=scalings)
            rows.append(Row(name=f"{of}rep {rep.n}", demand=asked))
        for hold in each.holds:
            asked = demand_of_hold(hold, movement, athlete, variant=plan.variant, scalings=scalings)
            rows.append(Row(name=f"{of}hold {hold.n}", demand=asked))
    if not rows:
        raise DemandError("the document has no rep and no hold, so there is nothing to tell; measure another clip")
    return tuple(rows)


def find(by: Knob, percent: float, of: Of | None, plan: Prescription, athlete: Athlete) -> Answer:
    """The value of one scaling at which the load at the hands, or the share of the full version, is so many percent.

    Raises:
        DemandError: no value gives that.
    """
    movement, scalings, variant = load_movement(plan.movement), plan.scalings(), plan.variant
    limit = demand_entry(movement, variant, scalings).limit
    of = of or ("hands" if limit == "hands" and by not in ("band", "load") else "full")
    target: Target = "hands" if of == "hands" else "ratio"
    if by == "body-angle":
        value = body_angle_for(percent, movement, athlete, of=target, variant=variant, scalings=scalings)
    elif by == "band":
        value = band_for(percent, movement, athlete, of=target, variant=variant, scalings=scalings)
    elif by == "load":
        value = load_for(percent, movement, athlete, of=target, variant=variant, scalings=scalings)
    else:
        limb: Literal["hands", "feet"] = "hands" if by == "hands-raised" else "feet"
        value = height_for(percent, limb, movement, athlete, of=target, variant=variant, scalings=scalings)
    return Answer(by=by, percent=percent, of=of, value=value)
