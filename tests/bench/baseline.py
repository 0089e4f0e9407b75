"""The plain way to count and time: thresholds at 5 % of the range on smoothed landmarks, the phone taken for level.

It is told the movement and the athlete's near side, and uses the program's own angle formulas, so that the comparison
is about how the body is followed and where a stroke is said to begin and end.
"""

from pathlib import Path
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from models.movements import Movement, Reps
from models.movements.movement import Angle
from tests.bench.events import Event, Value
from tests.bench.truth import Truth
from tests.bench.video_mode import landmarks as follow
from vision.body_angles import plain_angles, reach
from vision.filters import without_trend
from vision.mass import centre_of_mass
from vision.skeleton import INDEX

Array = NDArray[np.float64]
Angles = dict[Angle, Array]

EDGE = 0.05
STILL = 5.0
SHORTEST = 1.0
SHOULDER_TO_ANKLE = 0.779
"""Of body height: shoulder at .818, ankle at .039 (Drillis & Contini 1966)."""


def landmarks(clip: Path) -> dict[str, Any]:
    """Times and points of the clip as JSON can hold them."""
    time, points = follow(clip)
    return {"time": time.tolist(), "points": points.tolist()}


def read(followed: dict[str, Any], truth: Truth) -> list[Event]:
    """Reps or holds of a clip from its landmarks."""
    movement = truth.as_measured()
    time, joints = _without_gaps(followed)
    if len(time) < 3:
        return []
    arm = (joints[:, INDEX[f"{truth.near_side}_{name}"]] for name in ("shoulder", "elbow", "wrist"))
    angles = {**plain_angles(joints, movement, truth.near_side), "reach": reach(*arm)}
    if truth.is_hold:
        return _holds(time, joints, angles, movement, truth.athlete.height_cm)
    return _reps(time, angles, movement.reps) if movement.reps else []


def _without_gaps(followed: dict[str, Any]) -> tuple[Array, Array]:
    points = np.array(followed["points"], dtype=float)
    seen = np.isfinite(points).all(axis=(1, 2))
    return np.array(followed["time"])[seen], points[seen]


def _reps(time: Array, angles: Angles, reps: Reps) -> list[Event]:
    turn = angles[reps.driving]
    low, high = np.quantile(turn, [0.02, 0.98])
    if high - low < reps.range / 2:
        return []
    strokes = _strokes(turn, (low + high) / 2)
    to_bent: Literal["lowering", "raising"] = "lowering" if reps.lowering == "grows" else "raising"
    back: Literal["lowering", "raising"] = "raising" if to_bent == "lowering" else "lowering"
    at_bent, at_straight = ("bottom_pause", "top_pause") if to_bent == "lowering" else ("top_pause", "bottom_pause")
    found = []
    for i, (first, second) in enumerate(strokes):
        following = strokes[i + 1][0] if i + 1 < len(strokes) else None
        values = {
            to_bent: Value(float(time[first[1]] - time[first[0]])),
            back: Value(float(time[second[1]] - time[second[0]])),
            at_bent: Value(float(max(time[second[0]] - time[first[1]], 0))),
            at_straight: Value(None if following is None else float(max(time[following[0]] - time[second[1]], 0))),
        }
        bent = (first[1] + second[0]) // 2
        values |= {f"straight.{name}": Value(float(angle[first[0]])) for name, angle in angles.items()}
        values |= {f"bent.{name}": Value(float(angle[bent])) for name, angle in angles.items()}
        status = "whole" if abs(turn[bent] - turn[first[0]]) > reps.range / 2 else "short"
        found.append(Event("rep", status, float(time[first[0]]), float(time[second[1]]), values))
    return found


def _strokes(turn: Array, middle: float) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """(begin, end) of both strokes of every excursion above the middle, by 5 % of its own range."""
    above = turn > middle
    ups, downs = np.flatnonzero(~above[:-1] & above[1:]), np.flatnonzero(above[:-1] & ~above[1:])
    excursions = [(up, downs[downs > up][0]) for up in ups if (downs > up).any()]
    found = []
    for i, (up, down) in enumerate(excursions):
        before = excursions[i - 1][1] if i else 0
        after = excursions[i + 1][0] if i + 1 < len(excursions) else len(turn) - 1
        peak = turn[up : down + 1].max()
        rise, fall = turn[before : up + 1], turn[down : after + 1]
        near_peak = np.flatnonzero(turn[up : down + 1] >= peak - EDGE * (peak - rise.min())) + up
        near_low = np.flatnonzero(fall <= fall.min() + EDGE * (peak - fall.min())) + down
        begin = int(np.flatnonzero(rise <= rise.min() + EDGE * (peak - rise.min()))[-1] + before)
        found.append(((begin, int(near_peak[0])), (int(near_peak[-1]), int(near_low[0]))))
    return found


def _holds(time: Array, joints: Array, angles: Angles, movement: Movement, height_cm: float) -> list[Event]:
    """The longest run in which each named angle stays within 5 degrees of its median over the middle of the clip."""
    middle = slice(len(time) // 4, -len(time) // 4)
    still = np.all([np.abs(angles[a] - np.median(angles[a][middle])) <= STILL for a in movement.hold.still], axis=0)
    run = _longest(still)
    if time[run][-1] - time[run][0] < SHORTEST:
        return []
    values = {f"posture.{name}": Value(float(np.median(angle[run]))) for name, angle in angles.items()}
    line = angles["body"] if "body" in angles else angles["lean"]
    mass = centre_of_mass(joints[run]) * _mm_per_pixel(joints[run], height_cm)
    sway = np.sqrt(np.mean(without_trend(mass) ** 2, axis=0))
    values |= {
        "still": Value(float(time[run][-1] - time[run][0])),
        "drift": Value(float(line[run][-1] - line[run][0])),
        "sway.along_floor": Value(float(sway[0])),
        "sway.vertical": Value(float(sway[1])),
    }
    return [Event("hold", "hold", float(time[run][0]), float(time[run][-1]), values)]


def _longest(flags: NDArray[np.bool_]) -> slice:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    starts, ends = edges[::2], edges[1::2]
    if not len(starts):
        return slice(0, 1)
    longest = int(np.argmax(ends - starts))
    return slice(int(starts[longest]), int(ends[longest]))


def _mm_per_pixel(joints: Array, height_cm: float) -> float:
    chain = [[(joints[:, INDEX[f"{s}_{p}"]]) for p in ("shoulder", "hip", "knee", "ankle")] for s in ("left", "right")]
    lengths = [np.median(np.linalg.norm(np.diff(side, axis=0), axis=-1), axis=1).sum() for side in chain]
    return height_cm * 10 * SHOULDER_TO_ANKLE / float(max(lengths))
