"""Reps and holds in one plain form, whether they come from a truth file, a measurement document or the baseline."""

from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from models.document import Document, Hold, Posture, Rep
from models.quantity import Measured, Unmeasured
from tests.bench import truth

WAYS = ("stops", "swing", "hip_range")
"""How a stroke was done."""
SWAY = ("along_floor", "vertical", "path", "speed", "ellipse")


class Value(NamedTuple):
    """A value and its U95; either may be missing."""

    value: float | None
    U95: float | None = None


@dataclass(frozen=True)
class Event:
    """A rep or a hold. `values` by name: lowering, lowering.swing, top_pause, straight.elbow, worst.hip, standard.full-hang, posture.body,
    sway.vertical ..."""

    kind: Literal["rep", "hold"]
    status: str
    start: float
    end: float
    values: dict[str, Value] = field(default_factory=dict)


def of_truth(clip: truth.Truth) -> list[Event]:
    reps = [_true_rep(rep) for group in clip.sets for rep in group.reps]
    return reps + [_true_hold(hold) for group in clip.sets for hold in group.holds]


def of_document(document: Document) -> list[Event]:
    reps = [_rep(rep) for group in document.sets for rep in group.reps]
    return reps + [_hold(hold) for group in document.sets for hold in group.holds]


def _true_rep(rep: truth.Rep) -> Event:
    values = {"top_pause": rep.top_pause, "bottom_pause": rep.bottom_pause}
    for name, stroke in (("lowering", rep.lowering), ("raising", rep.raising)):
        values |= {name: None} if stroke is None else _true_stroke(name, stroke)
    for end, angles in (("straight", rep.straight), ("bent", rep.bent)):
        values |= {f"{end}.{angle}": degrees for angle, degrees in angles.items()}
    if rep.worst is not None:
        values |= {"worst.hip": rep.worst.hip, "worst.deviation": rep.worst.deviation}
    values |= {f"standard.{standard.name}": standard.distance for standard in rep.standards}
    return Event("rep", rep.status, rep.start, rep.end, {name: Value(v) for name, v in values.items()})


def _true_stroke(name: str, stroke: truth.Stroke) -> dict[str, float | None]:
    lasts = None if stroke.start is None or stroke.end is None else stroke.end - stroke.start
    values = {name: lasts} | {f"{name}.{v}": getattr(stroke, v) for v in WAYS}
    return values | dict(zip(_thirds(name), stroke.thirds or (None,) * 3, strict=True))


def _true_hold(hold: truth.Hold) -> Event:
    values: dict[str, float | None] = {"still": hold.still, "drift": hold.drift}
    values |= {f"posture.{angle}": degrees for angle, degrees in hold.posture.items()}
    values |= {f"sway.{axis}": millimetres for axis, millimetres in hold.sway.items()}
    return Event("hold", "hold", hold.start, hold.end, {name: Value(v) for name, v in values.items()})


def _rep(rep: Rep) -> Event:
    values = {"top_pause": _value(rep.top_pause), "bottom_pause": _value(rep.bottom_pause)}
    for name, stroke in (("lowering", rep.lowering), ("raising", rep.raising)):
        values[name] = Value(None) if stroke is None else _value(stroke.duration)
        if stroke is not None:
            values |= {f"{name}.{way}": _value(getattr(stroke, way)) for way in WAYS}
            values |= {third: Value(share) for third, share in zip(_thirds(name), stroke.thirds, strict=True)}
    values |= _posture("straight", rep.straight) | _posture("bent", rep.bent)
    values |= {"worst.hip": _value(rep.worst.hip), "worst.deviation": _value(rep.worst.deviation)}
    values |= {f"standard.{standard.name}": _value(standard.distance) for standard in rep.standards}
    return Event("rep", rep.status, rep.start, rep.end, values)


def _hold(hold: Hold) -> Event:
    values = {"still": _value(hold.still), "drift": _value(hold.drift)} | _posture("posture", hold.posture)
    values |= {f"sway.{axis}": _value(getattr(hold.sway, axis)) for axis in SWAY}
    return Event("hold", "hold", hold.start, hold.end, values)


def _posture(where: str, posture: Posture) -> dict[str, Value]:
    angles = ("body", "lean", "trunk", "legs", "shoulder", "elbow", "hip", "knee")
    return {f"{where}.{a}": _value(q) for a in angles if (q := getattr(posture, a)) is not None}


def _thirds(stroke: str) -> list[str]:
    return [f"{stroke}.{third}_third" for third in ("first", "middle", "last")]


def _value(quantity: Measured | Unmeasured | None) -> Value:
    return Value(quantity.value, quantity.U95) if isinstance(quantity, Measured) else Value(None)
