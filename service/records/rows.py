"""A measurement document as rows: what is asked for by the million, in columns. A value with a reason is NULL in them."""

from collections.abc import Iterator
from typing import Any

from models.document import Check, Hold, Posture, Rep
from models.quantity import Measured, Q, Unit
from service.records.results import CheckRow, Effort


def effort(found: Rep | Hold) -> dict[str, Any]:
    """The columns of an effort that a rep or a hold fills."""
    both = {"n": found.n, "start": found.start, "end": found.end, "verdict": found.verdict}
    return both | (_rep(found) if isinstance(found, Rep) else _hold(found))


def checks(found: tuple[Check, ...] | None, set_id: int, effort_id: int | None) -> Iterator[CheckRow]:
    """The rows of the checks of an effort, or of a set where `effort_id` is None."""
    for check in found or ():
        measured = check.measured if isinstance(check.measured, Measured) else None
        yield CheckRow(
            set_id=set_id,
            effort_id=effort_id,
            name=check.name,
            value=measured and measured.value,
            u95=measured and measured.U95,
            unit=measured and measured.unit,
            low=check.low,
            high=check.high,
            p=check.p,
            verdict=check.verdict,
            why=check.why,
            advice=check.advice,
        )


def _rep(rep: Rep) -> dict[str, Any]:
    return {
        "kind": "rep",
        "status": rep.status,
        **_columns("lowering", "s", rep.lowering.duration if rep.lowering else None),
        **_columns("bottom_pause", "s", rep.bottom_pause),
        **_columns("raising", "s", rep.raising.duration if rep.raising else None),
        **_columns("top_pause", "s", rep.top_pause),
        **_columns("body_angle", "deg", _tilt(rep.bent)),
    }


def _hold(hold: Hold) -> dict[str, Any]:
    return {
        "kind": "hold",
        **_columns("still", "s", hold.still),
        **_columns("sway", "mm", hold.sway.along_floor),
        **_columns("body_angle", "deg", _tilt(hold.posture)),
    }


def _tilt(posture: Posture) -> Q | None:
    """Body angle or lean: a movement has one of them."""
    return posture.body if posture.body is not None else posture.lean


def _columns(name: str, unit: Unit, value: Q | None) -> dict[str, float]:
    """A value and its uncertainty. In another unit it is another quantity: sway in % of height is no sway in mm."""
    if not isinstance(value, Measured) or value.unit != unit:
        return {}
    columns = {f"{name}_{unit}": value.value, f"{name}_u95": value.U95}
    assert all(hasattr(Effort, column) for column in columns)
    return columns
