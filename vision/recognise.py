"""Which movement a clip shows, when nobody said.

Each movement of the catalogue is looked for as it would be measured: its reps, or its hold if it is usually held. What is
found then has to look like it: the median posture at both ends of its reps, or in its hold, is compared with those that
the catalogue's own demand names, in whichever variant is nearest. The score is that agreement, times the share of the
clip that it explains.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from models.errors import MovementError
from models.movements import load_movement, movement_names
from models.movements.demand import End
from models.movements.movement import Movement
from vision import angles as goniometry
from vision.body_angles import hip_joint
from vision.camera import PhoneMotion
from vision.expected import Way, expected, unsigned
from vision.holds import find_holds
from vision.level import Level
from vision.motion import Motion, read_motion
from vision.reps import find_cycles, turns
from vision.skeleton import INDEX
from vision.smooth import Body

Array = NDArray[np.float64]
Found = dict[End, Array]

SPREAD: Final = np.array([20.0, 25.0, 20.0, 25.0, 25.0, 50.0, 50.0])
"""Degrees by which a posture of `vision.expected` usually differs from the catalogue's; the far leg is seen badly."""
STILL_SHARE: Final = 0.5
"""A second of stillness explains so much of what a second of reps does: reps hold still too, a hold has no reps."""
SURE: Final = 0.15
"""Score under which nothing is suggested."""
APART: Final = 0.75
"""A runner-up of more than this share of the best score leaves the choice open."""
MOMENT: Final = 0.08
"""Seconds either side of a turning point over which its posture is taken."""


@dataclass(frozen=True)
class Suggestion:
    """A movement that the clip may show, done for reps or held, and how well that fits, 0 to 1."""

    movement: Movement
    kind: Literal["reps", "hold"]
    score: float
    like: tuple[str, ...] = ()
    """Movements that no view tells from it."""

    @property
    def note(self) -> str:
        """What a person has to know who reads a measurement that rests on it."""
        others = f" (or {' or '.join(self.like)}, which looks the same)" if self.like else ""
        return f"nobody said what is done; it looks like {self.movement.name}{others}. If it is not, say --movement M"


def suggest(
    body: Body, phone: PhoneMotion, level: Level, scale: float, movements: Iterable[Movement] | None = None
) -> tuple[Suggestion, ...]:
    """Movements that the clip may show, the likeliest first.

    Args:
        body: Joint tracks in the steadied picture.
        phone: The phone's motion.
        level: Which way is down.
        scale: Pixels of the picture looked at per pixel of the clip's.
        movements: Those to choose from; all of the catalogue if not told.
    """
    known = tuple(map(load_movement, movement_names()) if movements is None else movements)
    motions: dict[object, Motion] = {}
    tried: list[_Trial] = []
    for movement in known:
        if movement.looks_like is None:
            alike = movement.line, movement.tilt, movement.plane, movement.position.trunk.high < 0
            if alike not in motions:  # all that reading the angles takes from a movement
                motions[alike] = read_motion(body, movement, phone, level, scale)
            tried += _trials(motions[alike], movement)
    longest = max((trial.explains for trial in tried), default=0.0)
    scored = [
        Suggestion(trial.movement, trial.kind, trial.agreement * trial.explains / longest, _like(trial.movement, known))
        for trial in tried
        if trial.explains > 0
    ]
    return tuple(sorted(scored, key=lambda each: -each.score))


def choose(suggestions: Sequence[Suggestion]) -> Suggestion:
    """The first suggestion, where it stands out.

    Raises:
        MovementError: nothing fits, or several movements do.
    """
    if not suggestions or suggestions[0].score < SURE:
        raise MovementError("the clip shows no movement of the catalogue clearly; say which with --movement M")
    first = suggestions[0]
    rivals = {each.movement.name for each in suggestions if each.score > APART * first.score}
    if len(rivals) > 1:
        named = " or ".join(dict.fromkeys(each.movement.name for each in suggestions if each.movement.name in rivals))
        raise MovementError(f"the clip may show {named}; say which with --movement M")
    return first


@dataclass(frozen=True)
class _Trial:
    """What came of looking for one movement: seconds that it explains, and how much its postures look like it, 0 to 1."""

    movement: Movement
    kind: Literal["reps", "hold"]
    explains: float
    agreement: float


def _trials(motion: Motion, movement: Movement) -> Iterator[_Trial]:
    """Reps, and the hold of a movement that is usually held, if the clip shows any."""
    reps, signs = movement.reps, not motion.view.oblique
    if reps is not None and reps.driving in motion.angles:
        cycles = [cycle for cycle in find_cycles(motion, movement) if cycle.status in ("whole", "short")]
        if cycles:
            moments = np.array([turns(cycle, reps) for cycle in cycles])
            ends: tuple[End, End] = ("straight", "bent")
            found: Found = {end: _posture(motion, at) for end, at in zip(ends, moments.T, strict=True)}
            seconds = sum(cycle.end - cycle.start for cycle in cycles)
            yield _Trial(movement, "reps", seconds, _agreement(found, expected(movement), signs=signs))
    holds = find_holds(motion, movement) if movement.usual == "hold" else []
    if holds:
        start, end = max(holds, key=lambda span: span[1] - span[0])
        inside = motion.time[(motion.time >= start) & (motion.time <= end)]
        seconds = STILL_SHARE * sum(stop - begin for begin, stop in holds)
        held = _agreement({"held": _posture(motion, inside)}, expected(movement), signs=signs)
        yield _Trial(movement, "hold", seconds, held)


def _agreement(found: Found, ways: Sequence[Way], *, signs: bool) -> float:
    """How much postures look like the nearest way of doing a movement, 0 to 1; an oblique view shows no `signs`."""
    able = [way for way in ways if found.keys() <= way.keys()]
    apart = [np.mean([_apart(found[end], way[end] if signs else unsigned(way[end])) for end in found]) for way in able]
    return float(np.exp(-min(apart) / 2)) if apart else 0.0


def _apart(seen: Array, wanted: Array) -> float:
    """Mean square of the differences of two postures, each in its spread; either leg may be the working one."""
    swapped = wanted[[0, 1, 2, 5, 6, 3, 4]]
    turned = [(seen - each + 180) % 360 - 180 for each in (wanted, swapped)]
    return float(min(np.mean((turn / SPREAD) ** 2) for turn in turned))


def _posture(motion: Motion, moments: Array) -> Array:
    """Median posture (7,) at some moments (seconds), as `vision.expected` has it."""
    near = np.abs(motion.time[:, None] - moments) <= MOMENT
    frames = np.flatnonzero(near.any(axis=1))
    if not len(frames):
        frames = np.array([int(np.argmin(np.abs(motion.time - np.median(moments))))])
    series = [
        _trunk(motion),
        *(motion.angles[name] for name in ("shoulder", "elbow", "hip", "knee")),
        *_far_leg(motion),
    ]
    posture = np.array([np.median(each[frames]) for each in series])
    return unsigned(posture) if motion.view.oblique else posture


def _trunk(motion: Motion) -> Array:
    """(frames,) direction from hips to shoulders, without a seam within the clip."""
    shoulder, hip = (motion.rays[:, INDEX[f"{motion.near}_{name}"]] for name in ("shoulder", "hip"))
    x, down = (shoulder - hip_joint(shoulder, hip, motion.near)).T
    ahead = x if motion.near == "right" else -x
    return np.unwrap(np.degrees(np.arctan2(-down, ahead)), period=360)


def _far_leg(motion: Motion) -> tuple[Array, Array]:
    """(frames,) hip and knee flexion of the far leg."""
    far = "right" if motion.near == "left" else "left"
    shoulder = motion.rays[:, INDEX[f"{motion.near}_shoulder"]]
    hip, knee, ankle = (motion.rays[:, INDEX[f"{far}_{name}"]] for name in ("hip", "knee", "ankle"))
    return (
        goniometry.hip_flexion(shoulder, hip, knee, motion.near),
        goniometry.knee_flexion(hip, knee, ankle, motion.near),
    )


def _like(movement: Movement, known: Iterable[Movement]) -> tuple[str, ...]:
    return tuple(other.name for other in known if other.looks_like == movement.name)
