"""Stretches of time in which angles stay still, and how sure their ends are."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing, find_objects, label

from vision.uncertainty import COVERAGE

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Stretch = tuple[float, float]

STILL: Final = 5.0
"""Degrees from its median within which an angle is still."""
EXCURSION: Final = 15.0
EXCURSION_TIME: Final = 0.3
"""An excursion under 0.3 s and 15 degrees does not end a hold."""
SHORTEST: Final = 1.0
MIDDLE: Final = 0.8
"""The median is taken over the middle 80 % of the hold."""
EDGE_U: Final = 0.04
"""Seconds, standard: what every end of a hold may be off by."""
EDGE_ANGLE_U: Final = 8.0
"""Degrees, standard: how differently the landmarks may sit in the hold and on the way into it; set on drawn clips."""
WANDER: Final = 0.35
"""Share of what its landmarks are misplaced by that an angle wanders over a hold: they do not sit in one place all the way."""
EDGE_WINDOW: Final = 0.1
"""Seconds to both sides of an end over which the angle's speed there is taken."""


@dataclass(frozen=True)
class Angles:
    """Angles that must stay still."""

    time: Array
    """(frames,) seconds."""
    value: Array
    """(angles, frames) degrees."""
    sd: Array
    """(angles, frames) standard deviation of their random part."""
    placing_sd: Array
    """(angles, frames) standard uncertainty by where the landmarks sit."""

    @property
    def wander_sd(self) -> Array:
        """(angles, frames) standard uncertainty by how landmarks wander over a hold, which lasts: noise does not."""
        return WANDER * self.placing_sd

    def middle(self, start: float, end: float) -> Array:
        """(angles,) each median over the middle of a stretch, NaN where it holds no frame."""
        margin = (1 - MIDDLE) / 2 * (end - start)
        inside = (self.time >= start + margin) & (self.time <= end - margin)
        return np.median(self.value[:, inside], axis=1) if inside.any() else np.full(len(self.value), np.nan)

    def apart(self, start: float, end: float) -> Array:
        """(angles, frames) degrees from each median over the middle of a stretch, NaN where it holds no frame."""
        return np.asarray(np.abs(self.value - self.middle(start, end)[:, None]))


def still_stretches(angles: Angles, run: slice) -> list[Stretch]:
    """Start and end (s) of the still stretches of a run of frames: the longest, and those before and after it.

    Two with nothing between them, or an excursion at most, are one if their postures differ by no more than what is still
    and what landmarks may wander: nobody takes up another posture so soon.
    """
    joined: list[Stretch] = []
    for stretch in _parted(angles, run):
        if joined and _same(angles, joined[-1], stretch):
            joined[-1] = joined[-1][0], stretch[1]
        else:
            joined.append(stretch)
    return joined


def _parted(angles: Angles, run: slice) -> list[Stretch]:
    if run.stop - run.start < 3 or _lasts(angles.time, run) < SHORTEST:
        return []
    best = _longest(angles, run)
    if best is None:
        return []
    before, after = slice(run.start, best.start), slice(best.stop, run.stop)
    return [*_parted(angles, before), _span(angles, run, best), *_parted(angles, after)]


def _same(angles: Angles, before: Stretch, after: Stretch) -> bool:
    """Whether two still stretches are of one hold."""
    between = (angles.time > before[1]) & (angles.time < after[0])
    brief = after[0] - before[1] < EXCURSION_TIME and np.all(angles.apart(*before)[:, between] <= EXCURSION)
    changed = np.abs(angles.middle(*after) - angles.middle(*before))
    return bool(brief and np.all(changed <= STILL + COVERAGE * np.median(angles.wander_sd, axis=1)))


def ends_u(angles: Angles, start: float, end: float) -> tuple[float, float]:
    """Standard uncertainties (s) of the two ends of a still stretch.

    An angle that leaves the stillness slowly tells badly when it left: what it may be off by, over its speed there. An end
    that no angle made, but the clip's edge or a change of support, has the share of every end only.
    """
    apart = angles.apart(start, end)
    frame = float(np.median(np.diff(angles.time)))

    def end_u(at: float, onward: float) -> float:
        beyond = int(np.clip(np.searchsorted(angles.time, at) - (onward < 0), 0, len(angles.time) - 1))
        leaves = int(np.argmax(apart[:, beyond]))
        timing = float(np.hypot(EDGE_U, frame / np.sqrt(12)))
        if apart[leaves, beyond] <= STILL:
            return timing
        around = np.clip([at - EDGE_WINDOW, at + EDGE_WINDOW], angles.time[0], angles.time[-1])
        speed = abs(float(np.diff(np.interp(around, angles.time, angles.value[leaves]))[0]) / float(np.ptp(around)))
        doubts = EDGE_ANGLE_U, angles.sd[leaves, beyond], angles.placing_sd[leaves, beyond]
        slow = float(np.linalg.norm(doubts)) / max(speed, 1e-6)
        return min(float(np.hypot(timing, slow)), (end - start) / 2)

    return end_u(start, -1.0), end_u(end, 1.0)


def bridged(mask: Mask, time: Array) -> Mask:
    """Gaps shorter than an excursion filled."""
    return closed(mask, time, EXCURSION_TIME)


def closed(mask: Mask, time: Array, seconds: float) -> Mask:
    """Gaps shorter than so many seconds filled."""
    frames = max(1, int(seconds / float(np.median(np.diff(time)))))
    padded = np.pad(mask, frames)
    return np.asarray(binary_closing(padded, np.ones(frames + 1, bool))[frames:-frames])


def _longest(angles: Angles, run: slice) -> slice | None:
    """Longest stretch in which every angle stays near its median over the stretch's middle, by iteration."""
    best: slice | None = None
    for seed in _seeds(angles.time, run):
        stretch = _grow(angles, run, seed)
        if stretch is not None and (best is None or _lasts(angles.time, stretch) > _lasts(angles.time, best)):
            best = stretch
    return best


def _seeds(time: Array, run: slice) -> list[slice]:
    """Windows of a second, half a second apart, to start the iteration from."""
    starts = np.arange(time[run.start], time[run.stop - 1] - SHORTEST / 2, SHORTEST / 2)
    edges = np.searchsorted(time, np.stack([starts, starts + SHORTEST], axis=1))
    return [slice(int(a), min(int(b), run.stop)) for a, b in edges if b - a >= 2]


def _grow(angles: Angles, run: slice, seed: slice) -> slice | None:
    """Iterate median and stretch from a seed until nothing changes."""
    time, stretch = angles.time, seed
    for _ in range(30):
        apart = angles.apart(float(time[stretch.start]), float(time[stretch.stop - 1]))
        grown = _around(angles, apart, run, (stretch.start + stretch.stop - 1) // 2)
        if grown is None or grown == stretch:
            break
        stretch = grown
    return None if grown is None or _lasts(time, grown) < SHORTEST else grown


def _around(angles: Angles, apart: Array, run: slice, middle: int) -> slice | None:
    """The stretch round a frame in which the angles stay still, brief small excursions let pass."""
    furthest = apart.max(0)
    calm = furthest <= STILL
    calm |= bridged(calm, angles.time) & (furthest <= EXCURSION)
    perhaps = (apart - COVERAGE * angles.sd).max(0) <= STILL
    for mask in (calm, perhaps):
        mask[: run.start] = mask[run.stop :] = False
    calm |= _returned(calm, perhaps, angles.time)
    if not calm[middle]:
        return None
    ends = np.flatnonzero(~calm)
    left, right = ends[ends < middle], ends[ends > middle]
    return slice(int(left[-1]) + 1 if len(left) else run.start, int(right[0]) if len(right) else run.stop)


def _returned(calm: Mask, perhaps: Mask, time: Array) -> Mask:
    """Where angles seem to leave for less than a second, and by no more than their noise: that is no excursion."""
    back = np.zeros_like(calm)
    for (out,) in find_objects(label(~calm)[0]):
        inside = out.start > 0 and out.stop < len(time)
        if inside and perhaps[out].all() and time[out.stop] - time[out.start] < SHORTEST:
            back[out] = True
    return back


def _span(angles: Angles, run: slice, stretch: slice) -> Stretch:
    """Start and end (s): where straight lines between the frames leave the band, if an angle makes the end."""
    time = angles.time
    first, last = stretch.start, stretch.stop - 1
    furthest = angles.apart(float(time[first]), float(time[last])).max(0)

    def leaves(inside: int, outside: int) -> float:
        if not run.start <= outside < run.stop or not furthest[inside] <= STILL < furthest[outside]:
            return float(time[inside])
        share = (STILL - furthest[inside]) / (furthest[outside] - furthest[inside])
        return float(time[inside] + share * (time[outside] - time[inside]))

    return leaves(first, first - 1), leaves(last, last + 1)


def _lasts(time: Array, stretch: slice) -> float:
    return float(time[stretch.stop - 1] - time[stretch.start])
