"""Holds: stretches of time in which the posture stays still."""

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects, label

from models.document import Hold
from models.movements.movement import Angle, Movement
from models.quantity import Q, Unmeasured
from vision.angles import hip_flexion, tilt
from vision.hold_sway import measure_sway
from vision.motion import Motion
from vision.position import in_position, stretches, supports_stay
from vision.posture import posture
from vision.skeleton import INDEX, OTHER_SIDE
from vision.still import SHORTEST, STILL, Angles, bridged, ends_u, still_stretches
from vision.uncertainty import quantity

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SEEN_AHEAD: Final = 0.15
"""Seconds by which a hand or foot seems to move too early and too long: it is judged over a window."""
LOST: Final = 2.0
"""Seconds for which the athlete may be lost within a hold: nobody leaves a posture and finds it again so soon."""
LOST_AT_END: Final = 0.1
"""Seconds about a hold's end in which the athlete must be seen, for that end to be the hold's own."""
DRAWS: Final = 2000
"""Tries by which the doubt about the largest of several trends is found."""


def find_holds(motion: Motion, movement: Movement) -> list[tuple[float, float]]:
    """Start and end (s) of each hold, in the order of time."""
    placed = in_position(motion, movement)
    placed |= _briefly_lost(placed, motion)
    placed = _outside_window(placed, motion.time) & (placed | motion.present)
    for name, band in movement.hold.posture.items():
        placed &= (motion.angles[name] >= band.low - STILL) & (motion.angles[name] <= band.high + STILL)
    borne = bridged(placed, motion.time) & _outside_window(supports_stay(motion, movement), motion.time)
    angles = _angles(motion, movement)
    return sorted(span for run in stretches(borne, motion.time, SHORTEST) for span in still_stretches(angles, run))


def _angles(motion: Motion, movement: Movement) -> Angles:
    def rows(of: Mapping[Angle, Array]) -> Array:
        return np.stack([of[name] for name in movement.hold.still])

    return Angles(motion.time, rows(_of_both_legs(motion, movement)), rows(motion.sd), rows(motion.placing_sd))


def _of_both_legs(motion: Motion, movement: Movement) -> dict[Angle, Array]:
    """The angles, hip and legs as the mean of both sides: no hold has begun while one leg is still on its way."""
    if motion.view.oblique or movement.plane == "frontal":
        return motion.angles
    far = OTHER_SIDE[motion.near]
    hip, legs = ((there - here) / 2 for here, there in zip(_leg(motion, motion.near), _leg(motion, far), strict=True))
    return {**motion.angles, "hip": motion.angles["hip"] + hip, "legs": motion.angles["legs"] + legs}


def _leg(motion: Motion, side: str) -> tuple[Array, Array]:
    """Flexion of a side's hip, and tilt of the line from its ankle to its hip, (frames,) each."""
    hip, knee, ankle = (motion.rays[:, INDEX[f"{side}_{name}"]] for name in ("hip", "knee", "ankle"))
    shoulder = motion.rays[:, INDEX[f"{motion.near}_shoulder"]]
    return hip_flexion(shoulder, hip, knee, motion.near), tilt(ankle, hip)


def _outside_window(mask: Mask, time: Array) -> Mask:
    """The mask, its gaps shortened by what the window adds over which a hand or foot is judged; none is lost."""
    whole = np.ones_like(mask)
    for (gap,) in find_objects(label(~mask)[0]):
        # At the clip's edge nothing tells how long before it the gap began, or how long after it ends.
        first = time[gap.start] + (SEEN_AHEAD if gap.start > 0 else 0.0)
        last = time[gap.stop - 1] - (SEEN_AHEAD if gap.stop < len(mask) else 0.0)
        whole[gap] = (time[gap] < first) | (time[gap] > last)
        whole[(gap.start + gap.stop - 1) // 2] = False
    return whole


def _briefly_lost(placed: Mask, motion: Motion) -> Mask:
    """Where the athlete is lost for a short time between two stretches in position; the track bridges it by the flow."""
    lost = np.zeros_like(placed)
    for (gap,) in find_objects(label(~placed)[0]):
        inside = gap.start > 0 and gap.stop < len(placed)
        if inside and motion.time[gap.stop] - motion.time[gap.start] < LOST and not motion.present[gap].all():
            lost[gap] = True
    return lost


def describe(
    motion: Motion, movement: Movement, spans: Sequence[tuple[float, float]], height_cm: float | None
) -> list[Hold]:
    """Each hold's numbers."""
    return [_hold(n, span, motion, movement, height_cm) for n, span in enumerate(spans, start=1)]


def _hold(number: int, span: tuple[float, float], motion: Motion, movement: Movement, height_cm: float | None) -> Hold:
    start, end = span
    start_u, end_u = ends_u(_angles(motion, movement), start, end)
    return Hold(
        n=number,
        start=start,
        end=end,
        still=_lost_at_end(motion, start, end) or quantity(end - start, "s", start_u, end_u),
        drift=_drift(motion, movement, start, end),
        posture=posture(motion, movement, start, end),
        sway=measure_sway(motion, movement, span, (start_u, end_u), height_cm),
    )


def _lost_at_end(motion: Motion, start: float, end: float) -> Unmeasured | None:
    """Why a hold's length cannot be told: it may have begun earlier or gone on while the athlete was lost."""
    for edge in (start, end):
        if not motion.present[np.abs(motion.time - edge) <= LOST_AT_END].all():
            return Unmeasured(reason=f"the athlete was lost at {edge:.1f} s, where the hold seems to start or end")
    return None


def _drift(motion: Motion, movement: Movement, start: float, end: float) -> Q:
    """Largest change over the hold of an angle that must stay still: its straight-line trend times the time.

    Where the trends of two angles are about as large, which of them is the largest is in doubt too, and with it the
    sign: the uncertainty is the spread of the largest when each varies by its own (JCGM 101).
    """
    if motion.view.oblique:
        return Unmeasured(reason=motion.view.refusal)
    inside = (motion.time >= start) & (motion.time <= end)
    angles = _angles(motion, movement)
    trends = np.polyfit(motion.time[inside], angles.value[:, inside].T, 1)[0] * (end - start)
    sd = np.median(np.hypot(angles.sd, angles.wander_sd)[:, inside], axis=1)
    tried = np.random.default_rng(0).normal(trends, sd, (DRAWS, len(trends)))
    largest = np.take_along_axis(tried, np.abs(tried).argmax(1)[:, None], axis=1)
    value = float(trends[np.abs(trends).argmax()])
    return quantity(value, "deg", float(np.sqrt(np.mean((largest - value) ** 2))))
