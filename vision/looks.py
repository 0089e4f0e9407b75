"""First pass over a clip: where the athlete is at a steady rate, with several candidates where one look is in doubt.

The landmarker looks where the body was; in the mirror it errs differently, so two of them take turns, one of which sees
the pictures mirrored, and a look that seems wrong is taken again by the other. Now and then the whole picture is looked
at afresh. Which candidate is right is not settled here: that takes the whole clip (`vision.settle`).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.clip import Clip, Frame
from vision.people import APART, instead, nearest, pick
from vision.pose import Bodies, Landmarker, Weights, extent, join, landmarker
from vision.resemblance import UNLIKE, Sought, resemblance
from vision.shown import Box, look_alone, look_mirrored, look_turned, swapped, without
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]

LONGER_SIDE: Final = 1280
"""Pictures are looked at no larger than this; a phone's 4K adds time, not accuracy."""
LANDMARK_RATE: Final = 6.0
"""Landmarks per second of clip; between them the flow carries the body."""
EARLY: Final = 0.005
"""Seconds by which a look may come early, for frames do not keep time exactly."""
REST: Final = 1.0
"""Seconds for which a landmarker whose look seemed wrong comes second."""
LOOK_AROUND: Final = 1.0
LOOK_FOR: Final = 0.25
"""Seconds between looks at the whole picture: for other people, and for an athlete who is in doubt."""
SURE: Final = 0.9
"""A look whose least visible joint (of either side) is less visible than this seems wrong."""
JUMP: Final = 0.08
SPEED: Final = 0.5
"""So does one whose joints moved on average by more than this share of the body's extent, and this per second."""
LOST: Final = 1.0
"""Seconds without the athlete after which anybody may be the athlete again."""
KEY: Final = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")


@dataclass(frozen=True)
class Look:
    """One look at the athlete: every body that may be them."""

    frame: int
    time: float
    candidates: Bodies

    def only(self, which: NDArray[np.bool_]) -> "Look":
        """The look with some of its candidates."""
        return replace(self, candidates=self.candidates.only(np.flatnonzero(which)))


@dataclass(frozen=True)
class Looks:
    """All looks of a clip, in pixels of the picture looked at."""

    close: tuple[Look, ...]
    around: tuple[Look, ...]
    """Looks at the whole picture: every body in it."""
    size: tuple[int, int]
    """Width and height of the pictures looked at."""
    pictures: int
    """How many there were."""


@dataclass
class _Tracker:
    """A landmarker that looks where the body was."""

    find: Landmarker
    rests_until: float = -np.inf


@dataclass
class _State:
    """What the pass carries from one look to the next."""

    start: Array | None
    body: Array | None
    wanted: Sought | None
    seen_at: float = -np.inf
    around_at: float = -np.inf
    close: list[Look] = field(default_factory=list)
    around: list[Look] = field(default_factory=list)


def look_through(
    clip: Clip,
    weights: Weights,
    progress: Callable[[float], None] | None = None,
    *,
    wanted: Sought | None = None,
    start: Array | None = None,
    hidden: tuple[Look, ...] = (),
    within: Box | None = None,
) -> Looks:
    """Look for the athlete all through a clip.

    Args:
        clip: The clip.
        weights: Landmark weights.
        progress: Called with how much of the clip is done, 0 to 1.
        wanted: What the athlete does, if that is known.
        start: (joints, 2) where the athlete is at first, if that is known.
        hidden: Bodies of other people; in each picture those of the nearest look are painted over.
        within: What part of the picture to look at; all of it if not told. A part is shown larger, and small people found.
    """
    corner = np.zeros(2, int) if within is None else within.corner
    first = None if start is None else start - corner
    state, size, pictures = _State(first, first, wanted), (0, 0), 0
    with (
        landmarker(weights, most=3) as find_all,
        landmarker(weights, tracking=True) as direct,
        landmarker(weights, tracking=True) as mirrored,
    ):
        trackers = _Tracker(direct), _Tracker(partial(look_mirrored, find=mirrored))
        for frame in looked_at(clip):
            size, pictures = (frame.image.shape[1], frame.image.shape[0]), pictures + 1
            _look(_shown(frame, hidden, within), state, find_all, trackers)
            if progress is not None:
                progress((frame.index + 1) / len(clip.times))
    return Looks(_moved(state.close, corner), _moved(state.around, corner), size, pictures)


def looked_at(clip: Clip) -> Iterator[Frame]:
    """The frames of a clip that are looked at, LANDMARK_RATE a second: the same ones every time."""
    return clip.frames(max_side=LONGER_SIDE, apart=1 / LANDMARK_RATE - EARLY)


def _shown(frame: Frame, hidden: tuple[Look, ...], within: Box | None) -> Frame:
    """What the landmarkers see of a frame."""
    image = frame.image
    if hidden:
        nearest_look = min(hidden, key=lambda look: abs(look.time - frame.time))
        image = without(image, nearest_look.candidates)
    return replace(frame, image=image if within is None else within.of(image))


def _moved(looks: list[Look], by: NDArray[np.int_]) -> tuple[Look, ...]:
    """Looks with all bodies moved by some pixels."""
    return tuple(replace(look, candidates=look.candidates.moved(by)) for look in looks)


def _look(frame: Frame, state: _State, find_all: Landmarker, trackers: tuple[_Tracker, _Tracker]) -> None:
    """Take the candidates of one frame, and carry on from the likeliest."""
    elapsed = frame.time - state.seen_at
    found: list[Bodies] = []
    lost = True
    if state.body is not None:
        for tracker in _in_turn(trackers, len(state.close), frame.time):
            found.append(look_alone(frame.image, state.body, tracker.find))
            lost = _doubtful(found[-1], state.body, elapsed)
            if not lost:
                break
            tracker.rests_until = frame.time + REST
    if frame.time - state.around_at >= (LOOK_FOR if lost else LOOK_AROUND):
        found.append(_look_around(frame, state, find_all, turned=lost or _unlike(found[-1], state.wanted)))
    if not found:
        return
    candidates = _possible(join(*found), state.body)
    if not len(candidates):
        if elapsed > LOST:
            state.body = state.start
        return
    state.close.append(Look(frame.index, frame.time, candidates))
    best = _likeliest(candidates, state.body)
    if state.body is None or elapsed > LOST or not _jumps(candidates, state.body, elapsed)[best]:
        state.body, state.seen_at = candidates.points[best], frame.time


def _in_turn(trackers: tuple[_Tracker, _Tracker], taken: int, time: float) -> list[_Tracker]:
    """Who looks first and who second, after so many looks: the other one every time, but who rests comes second."""
    order = trackers if taken % 2 else trackers[::-1]
    return sorted(order, key=lambda tracker: time < tracker.rests_until)


def _look_around(frame: Frame, state: _State, find: Landmarker, *, turned: bool) -> Bodies:
    """Whoever in the whole picture is the athlete, if need be in the picture `turned` as well."""
    state.around_at = frame.time
    bodies = find(frame.image)
    # Who stands by looks like anybody in a turned picture: other people are counted as the picture is.
    state.around.append(Look(frame.index, frame.time, bodies))
    if turned and (not len(bodies) or least_visible(bodies)[0] < SURE):
        bodies = join(bodies, *(look_turned(frame.image, quarters, find) for quarters in (1, 2, 3)))
    if not len(bodies):
        return bodies
    best = pick(bodies, frame.image.shape[1]) if state.body is None else nearest(bodies, state.body)
    if state.wanted is not None and (better := instead(bodies, best, state.wanted)) is not None:
        best, state.body = better, bodies.points[better]
    near = np.linalg.norm(bodies.points.mean(1) - bodies.points[best].mean(0), axis=-1) < APART * extent(bodies.points)
    return bodies.only(np.flatnonzero(near))


def _possible(bodies: Bodies, last: Array | None) -> Bodies:
    """Those bodies that can be who was followed, left and right as they were."""
    if last is None or not len(bodies):
        return bodies
    middle = np.linalg.norm(bodies.points.mean(1) - last.mean(0), axis=-1)
    near = bodies.only(np.flatnonzero(middle <= APART * extent(bodies.points)))
    other = swapped(near)
    better = distance(other.points, last) < 0.6 * distance(near.points, last)
    return Bodies(
        *(
            np.where(better.reshape(-1, *[1] * (a.ndim - 1)), b, a)
            for a, b in zip(near.arrays, other.arrays, strict=True)
        )
    )


def _unlike(bodies: Bodies, wanted: Sought | None) -> bool:
    """Whether the first of these bodies does something else than what is wanted."""
    return wanted is not None and bool(resemblance(bodies.points[:1], wanted)[0] < UNLIKE)


def _doubtful(bodies: Bodies, last: Array, elapsed: float) -> bool:
    """Whether no body was found, or one that is hardly visible or stands elsewhere than the last."""
    bodies = _possible(bodies, last)
    return not len(bodies) or bool(least_visible(bodies)[0] < SURE or _jumps(bodies, last, elapsed)[0])


def _jumps(bodies: Bodies, last: Array, elapsed: float) -> NDArray[np.bool_]:
    """Which bodies stand further from the last than an athlete moves."""
    return np.asarray(distance(bodies.points, last) > JUMP + SPEED * min(elapsed, LOST))


def _likeliest(candidates: Bodies, last: Array | None) -> int:
    """The most visible candidate, one that stands where the last stood before others."""
    moved = 0.0 if last is None else 5 * distance(candidates.points, last)
    return int(np.argmax(least_visible(candidates) - moved))


def least_visible(bodies: Bodies) -> Array:
    """Visibility (bodies,) of the least visible joint, of each pair the better one."""
    pairs = [bodies.visibility[:, [INDEX[f"{side}_{name}"] for side in SIDES]].max(1) for name in KEY]
    return np.asarray(np.min(pairs, axis=0))


def distance(points: Array, last: Array) -> Array:
    """Mean distance (bodies,) of the joints from where they were, as a share of the body's extent."""
    return np.asarray(np.linalg.norm(points - last, axis=-1).mean(-1) / extent(last))
