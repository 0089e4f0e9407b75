"""The truth of holds: how long they were still, in what posture, how they drifted and swayed."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.limit import Limit
from models.movements import Movement
from sample_clips.bounds import still_stretches, sway_rms, sway_shape
from sample_clips.fine import RATE, Fine, rounded

Array = NDArray[np.float64]
BAND = 5.0
"""Degrees beyond the bands that recognise a hold in which it may still be one."""
STEP = 5


def holds(movement: Movement, fine: Fine) -> list[dict[str, Any]]:
    """Every hold, in the order of time."""
    allowed = np.ones(len(fine.time), dtype=bool)
    for name, band in movement.hold.posture.items():
        allowed &= (fine.angles[name] >= band.low - BAND) & (fine.angles[name] <= band.high + BAND)
    angles = np.stack([fine.angles[name][::STEP] for name in _still(movement, fine)])
    return [
        _hold(movement, fine, start, end) for start, end in still_stretches(fine.time[::STEP], angles, allowed[::STEP])
    ]


def _still(movement: Movement, fine: Fine) -> list[str]:
    """The angles that must stay still, of those that this posture has."""
    return [name for name in movement.hold.still if not np.isnan(fine.angles[name]).any()]


def _hold(movement: Movement, fine: Fine, start: float, end: float) -> dict[str, Any]:
    inside = fine.within(start, end)
    time = fine.time[inside]
    slopes = [float(np.polyfit(time, fine.angles[name][inside], 1)[0]) for name in _still(movement, fine)]
    path = 1000 * fine.points["mass"][inside]
    along, _, vertical = sway_rms(path, RATE)
    shape = sway_shape(path[:, [0, 2]], RATE)
    return {
        "start": rounded(start),
        "end": rounded(end),
        "still": rounded(end - start),
        "in_position": _in_position(movement, fine, inside),
        "posture": fine.median(inside),
        "drift": rounded(max(slopes, key=abs) * (end - start), 3),
        "sway": {"along_floor": rounded(along, 3), "vertical": rounded(vertical, 3)} | shape,
    }


def _in_position(movement: Movement, fine: Fine, inside: NDArray[np.bool_]) -> float | None:
    """Seconds of the hold within the limits that the catalogue usually asks of its posture; None where it asks none."""
    asked = {n.partition(".")[2]: limit for n, limit in movement.asked.by_name(("posture",)).items()}
    if not asked or any(np.isnan(fine.angles[name]).any() for name in asked):
        return None
    good = np.all([_within(fine.angles[name][inside], limit) for name, limit in asked.items()], axis=0)
    return rounded(np.count_nonzero(good) / RATE)


def _within(angle: Array, limit: Limit) -> NDArray[np.bool_]:
    low = -np.inf if limit.low is None else limit.low
    high = np.inf if limit.high is None else limit.high
    return np.asarray((angle >= low) & (angle <= high))
