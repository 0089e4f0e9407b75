"""Sway of a hold, read off its motion, with what the following of the body adds to it and takes from it.

A shaken phone leaves part of its shake in the steadied picture: the background is further away than the athlete. What bears
the body rests in the world, so there the centre of mass is taken against the hand (or foot) that bears it, and what both
have in common is gone.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Sway
from models.movements.movement import Movement
from models.quantity import Q, Unit, Unmeasured
from vision import sway as formulas
from vision.filters import resample
from vision.motion import Motion
from vision.scale import PROPORTION_U, STATED_HEIGHT_U
from vision.skeleton import INDEX
from vision.uncertainty import quantity

Array = NDArray[np.float64]
Span = tuple[float, float]

MASS_SD: Final = 0.2
"""Pixels, standard: what slowly wandering landmarks add to the sway; twice that against a hand or foot in a shaken clip."""
FOLLOWED_U: Final = 0.25
"""Share, standard, of a small motion that the tracks lose or overdo: landmarks lag, cloth slips."""


def measure_sway(motion: Motion, movement: Movement, hold: Span, ends_u: Span, height_cm: float | None) -> Sway:
    """Motion of the centre of mass, in mm when the athlete's height is known, else in % of height.

    Getting in and out is no sway, so it is read as far inside the hold as its ends are in doubt. Whether what lies between
    was still hold is not known: the truth lies anywhere between the sway without it and with it (JCGM 100, 4.3.7). A view
    that is turned by some degrees shows the sway in the athlete's plane too short, by the cosine of the yaw.

    Args:
        motion: The athlete over time.
        movement: Tells what bears the body.
        hold: Start and end (s).
        ends_u: Their standard uncertainties (s).
        height_cm: Standing height.
    """
    if motion.view.oblique:
        return _none(motion.view.refusal)
    (start, end), (start_u, end_u) = hold, ends_u
    inside, whole = (
        (motion.time >= start + share * start_u) & (motion.time <= end - share * end_u) for share in (1, 0)
    )
    time = motion.time[inside]
    rate = (len(time) - 1) / (time[-1] - time[0]) if len(time) > 1 else 0.0
    if rate < formulas.LOWEST_RATE:
        return _none(f"sway needs {formulas.LOWEST_RATE:g} frames/s, this clip has {rate:.0f}")
    shaken = bool(np.ptp(motion.from_first, axis=0).any())
    unit_per_pixel = (10 * height_cm if height_cm else 100.0) / motion.height
    path = _path(motion, movement, shaken=shaken) * unit_per_pixel
    even, longer = (resample(motion.time[frames], path[frames], rate)[1] for frames in (inside, whole))
    noise = formulas.noise_floor(even, rate)
    still = formulas.still_path(even, rate)
    scale_u = PROPORTION_U if height_cm is None else float(np.hypot(PROPORTION_U, 100 * STATED_HEIGHT_U / height_cm))
    share = float(np.hypot(FOLLOWED_U, scale_u))
    short = 1 / np.cos(np.radians(motion.view.yaw)) - 1
    wander = MASS_SD * unit_per_pixel * (2 if shaken else 1)
    length: Unit = "mm" if height_cm else "% of height"
    per_second: Unit = "mm/s" if height_cm else "% of height/s"
    area: Unit = "mm2" if height_cm else "% of height2"
    rms = formulas.rms(even, rate, noise)
    in_doubt = np.abs(formulas.rms(longer, rate, noise).value - rms.value) / np.sqrt(3)

    def axis(i: int) -> Q:
        value = rms.value[i]
        if np.isnan(value):
            return Unmeasured(reason=f"smaller than this clip's noise ({noise[i]:.2g} {length})")
        turned = short * value if i == 0 else 0.0
        return quantity(value, length, rms.u[i], share * value, turned, wander, np.nan_to_num(in_doubt[i]))

    speed = formulas.mean_speed(still, rate) * formulas.true_share_of_speed(still, rate, noise)
    # What wanders moves about as fast as the body does, so that a path is as doubtful as the whole width of the sway.
    speed_parts = [speed * part for part in (share, short, wander / float(np.sqrt(np.mean(still**2) * 2)))]
    ellipse, ellipse_u = formulas.ellipse_without(still, noise, share, wander)
    return Sway(
        along_floor=axis(0),
        vertical=axis(1),
        path=quantity(speed * (end - start), length, *(part * (end - start) for part in speed_parts)),
        speed=quantity(speed, per_second, *speed_parts),
        ellipse=quantity(ellipse, area, ellipse_u, short * ellipse),
    )


def _path(motion: Motion, movement: Movement, *, shaken: bool) -> Array:
    """(frames, 2) the centre of mass along the floor and down, pixels; in a shaken clip against what bears the body."""
    path = motion.centre_of_mass
    if shaken:
        joint = "ankle" if movement.position.contact in ("feet", "foot") else "wrist"
        path = path - motion.joints[:, INDEX[f"{motion.near}_{joint}"]]
    return np.asarray(path @ np.stack([motion.floor, motion.down], axis=1))


def _none(reason: str) -> Sway:
    missing = Unmeasured(reason=reason)
    return Sway(along_floor=missing, vertical=missing, path=missing, speed=missing, ellipse=missing)
