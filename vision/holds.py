"""Holds: stretches of time in which the posture stays still."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing

from models.document import Hold, Sway
from models.movements.movement import Angle, Movement, StillHold
from models.quantity import Q, Unit, Unmeasured
from vision import sway as formulas
from vision.filters import resample
from vision.motion import Motion
from vision.position import in_position, stretches, supports_stay
from vision.posture import posture
from vision.scale import PROPORTION_U, STATED_HEIGHT_U
from vision.uncertainty import quantity

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

STILL: Final = 5.0
"""Degrees from its median within which an angle is still."""
EXCURSION: Final = 15.0
EXCURSION_TIME: Final = 0.3
"""An excursion under 0.3 s and 15 degrees does not end a hold."""
SHORTEST: Final = 1.0
MIDDLE: Final = 0.8
"""The median is taken over the middle 80 % of the hold."""
MASS_SD: Final = 0.45
"""Pixels, standard: what flickering landmarks of hidden limbs add to the sway; set on drawn clips."""
EDGE_RATE: Final = 60.0
"""deg/s: how fast a body typically passes the edge of the still band when it leaves a hold."""


def find_holds(motion: Motion, movement: Movement) -> list[tuple[float, float]]:
    """Start and end (s) of each hold, in the order of time."""
    hold = movement.hold
    fits = in_position(motion, movement)
    for name, band in hold.posture.items():
        fits &= (motion.angles[name] >= band.low - STILL) & (motion.angles[name] <= band.high + STILL)
    found: list[tuple[float, float]] = []
    supported = _bridged(fits, motion.time) & supports_stay(motion, movement)
    for run in stretches(supported, motion.time, SHORTEST):
        found += _still(motion, hold, run)
    return sorted(found)


def _still(motion: Motion, hold: StillHold, run: slice) -> list[tuple[float, float]]:
    """The longest still stretch of a run, and those before and after it."""
    if run.stop - run.start < 3 or motion.time[run.stop - 1] - motion.time[run.start] < SHORTEST:
        return []
    angles = np.stack([motion.angles[name] for name in hold.still])
    best = _longest(motion.time, angles, run)
    if best is None:
        return []
    before, after = slice(run.start, best.start), slice(best.stop, run.stop)
    span = float(motion.time[best.start]), float(motion.time[best.stop - 1])
    return [*_still(motion, hold, before), span, *_still(motion, hold, after)]


def _longest(time: Array, angles: Array, run: slice) -> slice | None:
    """Longest stretch in which every angle stays near its median over the stretch's middle, by iteration."""
    best: slice | None = None
    for seed in _seeds(time, run):
        stretch = _grow(time, angles, run, seed)
        if stretch is not None and (best is None or _lasts(time, stretch) > _lasts(time, best)):
            best = stretch
    return best


def _seeds(time: Array, run: slice) -> list[slice]:
    """Windows of a second, half a second apart, to start the iteration from."""
    starts = np.arange(time[run.start], time[run.stop - 1] - SHORTEST / 2, SHORTEST / 2)
    edges = np.searchsorted(time, np.stack([starts, starts + SHORTEST], axis=1))
    return [slice(int(a), min(int(b), run.stop)) for a, b in edges if b - a >= 2]


def _grow(time: Array, angles: Array, run: slice, seed: slice) -> slice | None:
    """Iterate median and stretch from a seed until nothing changes."""
    stretch = seed
    for _ in range(30):
        margin = (1 - MIDDLE) / 2 * _lasts(time, stretch)
        middle = (time >= time[stretch.start] + margin) & (time <= time[stretch.stop - 1] - margin)
        middle[: stretch.start] = middle[stretch.stop :] = False
        if not middle.any():
            return None
        apart = np.abs(angles - np.median(angles[:, middle], axis=1)[:, None]).max(0)
        grown = _around(time, apart, run, (stretch.start + stretch.stop - 1) // 2)
        if grown is None or grown == stretch:
            break
        stretch = grown
    return None if grown is None or _lasts(time, grown) < SHORTEST else grown


def _around(time: Array, apart: Array, run: slice, middle: int) -> slice | None:
    """The stretch round a frame in which the angles stay still, brief small excursions let pass."""
    calm = (apart <= STILL) | (_bridged(apart <= STILL, time) & (apart <= EXCURSION))
    calm[: run.start] = calm[run.stop :] = False
    if not calm[middle]:
        return None
    ends = np.flatnonzero(~calm)
    left, right = ends[ends < middle], ends[ends > middle]
    return slice(int(left[-1]) + 1 if len(left) else run.start, int(right[0]) if len(right) else run.stop)


def _bridged(mask: Mask, time: Array) -> Mask:
    """Gaps shorter than an excursion filled."""
    frames = max(1, int(EXCURSION_TIME / float(np.median(np.diff(time)))))
    padded = np.pad(mask, frames)
    return np.asarray(binary_closing(padded, np.ones(frames + 1, bool))[frames:-frames])


def _lasts(time: Array, stretch: slice) -> float:
    return float(time[stretch.stop - 1] - time[stretch.start])


def describe(
    motion: Motion, movement: Movement, spans: Sequence[tuple[float, float]], height_cm: float | None
) -> list[Hold]:
    """Each hold's numbers."""
    return [_hold(n, span, motion, movement, height_cm) for n, span in enumerate(spans, start=1)]


def _hold(number: int, span: tuple[float, float], motion: Motion, movement: Movement, height_cm: float | None) -> Hold:
    start, end = span
    frame = float(np.median(np.diff(motion.time)))
    u = float(np.hypot(frame / np.sqrt(12), STILL / 2 / EDGE_RATE))
    return Hold(
        n=number,
        start=start,
        end=end,
        still=quantity(end - start, "s", u, u),
        drift=_drift(motion, movement.hold.still, start, end),
        posture=posture(motion, movement, start, end),
        sway=_sway(motion, start, end, height_cm),
    )


def _drift(motion: Motion, names: Sequence[Angle], start: float, end: float) -> Q:
    """Largest change over the hold of an angle that must stay still: its straight-line trend times the time."""
    if motion.view.oblique:
        return Unmeasured(reason=motion.view.refusal)
    inside = (motion.time >= start) & (motion.time <= end)
    time = motion.time[inside]
    slopes = [float(np.polyfit(time, motion.angles[name][inside], 1)[0]) for name in names]
    sd = max(float(np.median(motion.sd[name][inside])) for name in names)
    return quantity(max(slopes, key=abs) * (end - start), "deg", sd)


def _sway(motion: Motion, start: float, end: float, height_cm: float | None) -> Sway:
    """Motion of the centre of mass, in mm when the athlete's height is known, else in % of height.

    A view that is turned by some degrees shows the sway in the athlete's plane too short, by the cosine of the yaw.
    """
    if motion.view.oblique:
        return _no_sway(motion.view.refusal)
    inside = (motion.time >= start) & (motion.time <= end)
    time = motion.time[inside]
    mean_rate = (len(time) - 1) / (time[-1] - time[0])
    if mean_rate < formulas.LOWEST_RATE:
        return _no_sway(f"sway needs {formulas.LOWEST_RATE:g} frames/s, this clip has {mean_rate:.0f}")
    path = motion.centre_of_mass[inside] @ np.stack([motion.floor, motion.down], axis=1)
    rate, even = mean_rate, resample(time, path, mean_rate)[1]
    unit_per_pixel = (10 * height_cm if height_cm else 100.0) / motion.height
    scale_u = PROPORTION_U if height_cm is None else float(np.hypot(PROPORTION_U, 100 * STATED_HEIGHT_U / height_cm))
    even = even * unit_per_pixel
    noise = formulas.noise_floor(even, rate)
    rms = formulas.rms(even, rate, noise)
    length: Unit = "mm" if height_cm else "% of height"
    per_second: Unit = "mm/s" if height_cm else "% of height/s"
    area: Unit = "mm2" if height_cm else "% of height2"
    still = formulas.still_path(even, rate)
    lost = float(np.linalg.norm(noise))
    short = 1 / np.cos(np.radians(motion.view.yaw)) - 1

    def axis(i: int) -> Q:
        if np.isnan(rms.value[i]):
            return Unmeasured(reason=f"smaller than this clip's noise ({noise[i]:.2g} {length})")
        shares = (scale_u, short if i == 0 else 0.0)
        parts = (rms.u[i], *(share * rms.value[i] for share in shares), MASS_SD * unit_per_pixel)
        return quantity(rms.value[i], length, *parts)

    path_length, speed, ellipse = formulas.length(still), formulas.mean_speed(still, rate), formulas.ellipse_area(still)
    extra = lost * 2 * np.pi * formulas.CUTOFF / np.sqrt(3)
    return Sway(
        along_floor=axis(0),
        vertical=axis(1),
        path=quantity(path_length, length, extra * (end - start), scale_u * path_length, short * path_length),
        speed=quantity(speed, per_second, extra, scale_u * speed, short * speed),
        ellipse=quantity(ellipse, area, 2 * scale_u * ellipse, short * ellipse, np.pi * 5.99 * lost**2),
    )


def _no_sway(reason: str) -> Sway:
    missing = Unmeasured(reason=reason)
    return Sway(along_floor=missing, vertical=missing, path=missing, speed=missing, ellipse=missing)
