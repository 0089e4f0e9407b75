"""What a clip really shows: the truth file that lies beside it."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.movements import Movement, load_movement
from sample_clips.angles import body_angles
from sample_clips.bounds import Travel, Window, still_stretches, sway_rms, threshold
from sample_clips.camera import Camera
from sample_clips.figure import SETTLED, Figure
from sample_clips.tempo import Stroke

Array = NDArray[np.float64]
RATE = 500.0
CHUNK = 2000
NAMES = ("nose",) + tuple(
    f"{side}_{point}"
    for point in ("ear", "shoulder", "elbow", "wrist", "index", "hip", "knee", "ankle", "heel", "toe")
    for side in ("left", "right")
)
WHOLE = 0.5
MOMENT = 0.1
"""Seconds about a turning point over which its posture is the median."""


def movement_of(figure: Figure) -> Movement:
    """The catalogue's entry for what the figure does."""
    exercise = figure.recipe.exercise
    return load_movement(exercise.movement).as_variant(exercise.variant or None)


def write_truth(figure: Figure, camera: Camera, time: Array) -> dict[str, Any]:
    """The truth of a clip whose frames are shown at `time` (N,) seconds."""
    movement = movement_of(figure)
    joints = figure.joints(time)
    fine = _fine(figure, movement)
    start, end, events = _events(figure, movement, fine)
    return {
        "truth": "plumbrep.truth/1",
        "clip": f"{figure.recipe.name}.mp4",
        "movement": movement.name,
        "recipe": figure.recipe.model_dump(mode="json"),
        "athlete": {"height_cm": round(100 * figure.body.height, 2)},
        "camera": _camera(camera),
        "near_side": figure.recipe.facing,
        "frames": {
            "time": _round(time, 6),
            "joints": {n: {"m": _round(joints[n], 5), "px": _round(camera.project(joints[n]), 2)} for n in NAMES},
            "centre_of_mass": _round(joints["centre_of_mass"], 5),
            "angles": {name: _round(angle, 3) for name, angle in body_angles(joints, movement).items()},
        },
        "sets": [{"start": start, "end": end, **events}],
    }


def _fine(figure: Figure, movement: Movement) -> dict[str, Array]:
    """Angles and centre of mass on an even clock of RATE over the whole clip."""
    time = np.arange(0, figure.seconds, 1 / RATE)
    pieces: list[dict[str, Array]] = []
    for first in range(0, len(time), CHUNK):
        joints = figure.joints(time[first : first + CHUNK])
        pieces.append({**body_angles(joints, movement), "centre_of_mass": joints["centre_of_mass"]})
    return {"time": time} | {name: np.concatenate([piece[name] for piece in pieces]) for name in pieces[0]}


def _events(figure: Figure, movement: Movement, fine: dict[str, Array]) -> tuple[float, float, dict[str, Any]]:
    if figure.recipe.exercise.hold is None:
        reps = _reps(figure, movement, fine)
        return reps[0]["start"], reps[-1]["end"], {"reps": reps, "holds": []}
    holds = _holds(movement, fine)
    return holds[0]["start"], holds[-1]["end"], {"reps": [], "holds": holds}


def _reps(figure: Figure, movement: Movement, fine: dict[str, Array]) -> list[dict[str, Any]]:
    strokes = figure.course.strokes
    travels = {stroke: Travel(fine["time"], _driving(movement, fine), _window(figure, stroke)) for stroke in strokes}
    reps = []
    for number in sorted({stroke.rep for stroke in strokes}):
        own = [stroke for stroke in strokes if stroke.rep == number and stroke.role != "climb"]
        if own:
            reps.append(_rep(figure, movement, fine, own, travels))
    _pauses(reps, movement, figure)
    return [{key: value for key, value in rep.items() if key != "order"} for rep in reps]


def _driving(movement: Movement, fine: dict[str, Array]) -> Array:
    assert movement.reps is not None
    return fine[movement.reps.driving]


def _window(figure: Figure, stroke: Stroke) -> Window:
    """From the middle of the pause before to the middle of the pause after, 0.5 s at most."""
    others = figure.course.strokes
    before = [other.end for other in others if other.end <= stroke.start + 1e-9]
    after = [other.start for other in others if other.start >= stroke.end - 1e-9]
    lead = min(0.5, (stroke.start - max(before)) / 2) if before else SETTLED
    tail = min(0.5, (min(after) - stroke.end) / 2) if after else SETTLED
    return Window(max(stroke.start - max(lead, 0.01), 0.0), min(stroke.end + max(tail, 0.01), figure.seconds))


def _rep(
    figure: Figure, movement: Movement, fine: dict[str, Array], own: list[Stroke], travels: dict[Stroke, Travel]
) -> dict[str, Any]:
    assert movement.reps is not None
    cut = [stroke for stroke in own if stroke.start < 0 or stroke.end > figure.seconds]
    complete = [stroke for stroke in own if stroke not in cut]
    v = threshold([travels[stroke] for stroke in (complete or own)])
    spans = {stroke: travels[stroke].span(v) for stroke in own}
    first, last = spans[own[0]].start, spans[own[-1]].end
    start = 0.0 if own[0].start < 0 or first is None else first
    end = figure.seconds if own[-1].end > figure.seconds or last is None else last
    by_role = {stroke.role: {"start": _r(spans[stroke].start), "end": _r(spans[stroke].end)} for stroke in complete}
    reached = max(travels[stroke].range for stroke in own) / movement.reps.range
    status = "cut_off" if cut else "whole" if reached >= WHOLE else "short"
    if own[0].role == "attempt":
        status, by_role = "failed", {}
    straight, bent = _ends(movement, fine, start, end)
    return {
        "status": status,
        "start": _r(start),
        "end": _r(end),
        "lowering": by_role.get("lowering"),
        "raising": by_role.get("raising"),
        "top_pause": None,
        "bottom_pause": None,
        "straight": straight,
        "bent": bent,
        "order": [stroke.role for stroke in own],
    }


def _ends(
    movement: Movement, fine: dict[str, Array], start: float, end: float
) -> tuple[dict[str, float], dict[str, float]]:
    """Postures at the driving angle's least and greatest."""
    inside = np.flatnonzero((fine["time"] >= start - 0.05) & (fine["time"] <= end + 0.05))
    driving = _driving(movement, fine)[inside]
    return _at(fine, float(fine["time"][inside[np.argmin(driving)]])), _at(
        fine, float(fine["time"][inside[np.argmax(driving)]])
    )


def _at(fine: dict[str, Array], moment: float) -> dict[str, float]:
    near = np.abs(fine["time"] - moment) <= MOMENT
    return {name: _r(np.median(fine[name][near]), 3) for name in _angle_names(fine)}


def _angle_names(fine: dict[str, Array]) -> list[str]:
    return [name for name in fine if name not in ("time", "centre_of_mass")]


def _pauses(reps: list[dict[str, Any]], movement: Movement, figure: Figure) -> None:
    """Fill in the time between strokes. A lowering-only rep has none: nothing but the climb lies between."""
    assert movement.reps is not None
    lowering_first = movement.reps.first == "lowering"
    between, after = ("bottom_pause", "top_pause") if lowering_first else ("top_pause", "bottom_pause")
    names = ("lowering", "raising") if lowering_first else ("raising", "lowering")
    for number, rep in enumerate(reps):
        first, second = rep[names[0]], rep[names[1]]
        if first and second:
            rep[between] = _gap(first, second)
        following = reps[number + 1][names[0]] if number + 1 < len(reps) else None
        if second and following and not figure.recipe.exercise.lowering_only:
            rep[after] = _gap(second, following)


def _gap(first: dict[str, float], second: dict[str, float]) -> float:
    return round(second["start"] - first["end"], 4)


def _holds(movement: Movement, fine: dict[str, Array]) -> list[dict[str, Any]]:
    allowed = np.ones(len(fine["time"]), dtype=bool)
    for name, band in movement.hold.posture.items():
        allowed &= (fine[name] >= band.low - 5) & (fine[name] <= band.high + 5)
    step = 5
    time = fine["time"][::step]
    angles = np.stack([fine[name][::step] for name in movement.hold.still])
    return [_hold(movement, fine, start, end) for start, end in still_stretches(time, angles, allowed[::step])]


def _hold(movement: Movement, fine: dict[str, Array], start: float, end: float) -> dict[str, Any]:
    inside = (fine["time"] >= start) & (fine["time"] <= end)
    time = fine["time"][inside]
    slopes = [float(np.polyfit(time, fine[name][inside], 1)[0]) for name in movement.hold.still]
    along, _, vertical = 1000 * sway_rms(fine["centre_of_mass"][inside], RATE)
    return {
        "start": _r(start),
        "end": _r(end),
        "still": _r(end - start),
        "posture": {name: _r(np.median(fine[name][inside]), 3) for name in _angle_names(fine)},
        "drift": _r(max(slopes, key=abs) * (end - start), 3),
        "sway": {"along_floor": _r(along, 3), "vertical": _r(vertical, 3)},
    }


def _camera(camera: Camera) -> dict[str, float]:
    phone = camera.phone
    return {
        "roll": phone.roll,
        "pitch": _r(camera.pitch),
        "yaw": phone.yaw,
        "height": phone.lens_height,
        "distance": _r(camera.distance),
        "focal_px": _r(camera.focal_px, 3),
        "shake_deg": phone.shake_deg,
        "shake_mm": 1000 * phone.shake_m,
    }


def _r(value: Any, digits: int = 4) -> Any:
    return None if value is None else round(float(value), digits)


def _round(values: Array, digits: int) -> list[Any]:
    rounded: list[Any] = np.round(values, digits).tolist()
    return rounded
