"""The truth of reps: strokes and pauses, postures at both ends, how each stroke was done, standards."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import minimum_filter1d

from models.movements import Movement
from sample_clips.bounds import Span, Travel, Window, threshold
from sample_clips.figure import Figure
from sample_clips.fine import MOMENT, RATE, Fine, rounded
from sample_clips.phases import SETTLED
from sample_clips.standards import standard_distances
from sample_clips.tempo import Stroke

Array = NDArray[np.float64]
WHOLE = 0.5
SUSTAINED = 0.3
"""Seconds for which the worst hip angle must last."""


def reps(figure: Figure, movement: Movement, fine: Fine) -> list[dict[str, Any]]:
    """Every rep that the clip shows, in the order of time."""
    strokes = figure.course.strokes
    travels = {stroke: Travel(fine.time, _driving(movement, fine), _window(figure, stroke)) for stroke in strokes}
    found = []
    for number in sorted({stroke.rep for stroke in strokes}):
        own = [stroke for stroke in strokes if stroke.rep == number and stroke.role != "climb"]
        if own:
            found.append(_rep(figure, movement, fine, own, travels))
    _pauses(found, movement, figure)
    return found


def _driving(movement: Movement, fine: Fine) -> Array:
    assert movement.reps is not None
    return fine.angles[movement.reps.driving]


def _window(figure: Figure, stroke: Stroke) -> Window:
    """From the middle of the pause before to the middle of the pause after, 0.5 s at most."""
    others = figure.course.strokes
    before = [other.end for other in others if other.end <= stroke.start + 1e-9]
    after = [other.start for other in others if other.start >= stroke.end - 1e-9]
    lead = min(0.5, (stroke.start - max(before)) / 2) if before else SETTLED
    tail = min(0.5, (min(after) - stroke.end) / 2) if after else SETTLED
    return Window(max(stroke.start - max(lead, 0.01), 0.0), min(stroke.end + max(tail, 0.01), figure.seconds))


def _rep(
    figure: Figure, movement: Movement, fine: Fine, own: list[Stroke], travels: dict[Stroke, Travel]
) -> dict[str, Any]:
    assert movement.reps is not None
    cut = [stroke for stroke in own if stroke.start < 0 or stroke.end > figure.seconds]
    complete = [stroke for stroke in own if stroke not in cut]
    v = threshold([travels[stroke] for stroke in (complete or own)])
    spans = {stroke: travels[stroke].span(v) for stroke in own}
    first, last = spans[own[0]].start, spans[own[-1]].end
    # Where a slow stroke never falls below v beside another one, its own ends stand in; the clip's, where it is cut off.
    start = max(own[0].start, 0.0) if own[0].start < 0 or first is None else first
    end = min(own[-1].end, figure.seconds) if own[-1].end > figure.seconds or last is None else last
    by_role = {stroke.role: _stroke(figure, fine, travels[stroke], spans[stroke], v) for stroke in complete}
    reached = max(travels[stroke].range for stroke in own) / movement.reps.range
    status = "cut_off" if cut else "whole" if reached >= WHOLE else "short"
    if own[0].role == "attempt":
        status, by_role = "failed", {}
    ends = _ends(movement, fine, start, end)
    moments = {name: np.linspace(at - MOMENT, at + MOMENT, 5).clip(0, figure.seconds) for name, at in ends.items()}
    return {
        "status": status,
        "start": rounded(start),
        "end": rounded(end),
        "lowering": by_role.get("lowering"),
        "raising": by_role.get("raising"),
        "top_pause": None,
        "bottom_pause": None,
        **{name: fine.at(at) for name, at in ends.items()},
        "worst": _worst(fine, start, end),
        "standards": standard_distances(figure, movement, moments),
    }


def _stroke(figure: Figure, fine: Fine, travel: Travel, span: Span, v: float) -> dict[str, Any] | None:
    """A stroke's bounds and how it was done; None where a bound is not in the clip.

    `thirds` are shares of its time; `stops` seconds below v; `swing` the hips' travel along the floor against the hands
    in % of height; `hip_range` degrees from the least to the greatest hip angle.
    """
    if span.start is None or span.end is None:
        return None
    inside = fine.within(span.start, span.end)
    away = (fine.points["hip"] - fine.points["wrist"])[inside, 0]
    return {
        "start": rounded(span.start),
        "end": rounded(span.end),
        "thirds": [rounded(share) for share in travel.thirds(span.start, span.end)],
        "stops": rounded(travel.stops(span.start, span.end, v)),
        "swing": rounded(100 * np.ptp(away) / figure.body.height, 3),
        "hip_range": None if fine.sideways else rounded(np.ptp(fine.angles["hip"][inside]), 3),
    }


def _ends(movement: Movement, fine: Fine, start: float, end: float) -> dict[str, float]:
    """When the driving angle is least and greatest."""
    inside = np.flatnonzero(fine.within(start, end, 0.05))
    driving = _driving(movement, fine)[inside]
    moments = {"straight": inside[np.argmin(driving)], "bent": inside[np.argmax(driving)]}
    return {name: float(fine.time[at]) for name, at in moments.items()}


def _worst(fine: Fine, start: float, end: float) -> dict[str, Any] | None:
    """The hip angle furthest from straight that lasts, when, and the hips' largest distance from shoulders-ankles, %."""
    if fine.sideways:
        return None
    inside = fine.within(start, end)
    hip = fine.angles["hip"][inside]
    lasting = minimum_filter1d(np.abs(hip), round(SUSTAINED * RATE), mode="nearest")
    at = int(np.argmax(lasting))
    shoulder, hips, ankle = (fine.points[name][inside][:, [0, 2]] for name in ("shoulder", "hip", "ankle"))
    line, to_hip = shoulder - ankle, hips - ankle
    away = np.abs(line[:, 0] * to_hip[:, 1] - line[:, 1] * to_hip[:, 0]) / np.sum(line**2, axis=1)
    return {
        "hip": rounded(np.sign(hip[at]) * lasting[at], 3),
        "hip_at": rounded(fine.time[inside][at]),
        "deviation": rounded(100 * away.max(), 3),
    }


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
