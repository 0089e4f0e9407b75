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

from models.errors import MovementError
from models.movements import load_movement, movement_names
from models.movements.demand import End
from models.movements.movement import Movement
from vision.camera import PhoneMotion
from vision.expected import expected
from vision.holds import find_holds
from vision.level import Level
from vision.likeness import Found, hands_fit, likeness, posture
from vision.motion import Motion, read_motion
from vision.reps import find_cycles, turns
from vision.smooth import Body

ENDS: Final[tuple[End, End]] = ("straight", "bent")
STILL_SHARE: Final = 0.5
"""A second of stillness explains so much of what a second of reps does: reps hold still too, a hold has no reps."""
SURE: Final = 0.15
"""Score under which nothing is suggested."""
APART: Final = 0.85
"""A runner-up of more than this share of the best score leaves the choice open."""


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
    seen = _read(body, phone, level, scale, [movement for movement in known if movement.looks_like is None])
    tried = [trial for motion, movement in seen if not motion.view.oblique for trial in _trials(motion, movement)]
    if not any(trial.agreement > SURE for trial in tried):  # of no plane a good view: what an oblique one shows
        tried += [trial for motion, movement in seen if motion.view.oblique for trial in _trials(motion, movement)]
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


def _read(
    body: Body, phone: PhoneMotion, level: Level, scale: float, movements: Iterable[Movement]
) -> list[tuple[Motion, Movement]]:
    """Each movement with the body's motion read for it."""
    motions: dict[object, Motion] = {}
    seen = []
    for movement in movements:
        alike = movement.line, movement.tilt, movement.plane, movement.position.trunk.high < 0
        if alike not in motions:  # all that reading the angles takes from a movement
            motions[alike] = read_motion(body, movement, phone, level, scale)
        seen.append((motions[alike], movement))
    return seen


@dataclass(frozen=True)
class _Trial:
    """What came of looking for one movement: seconds that it explains, and how much its postures look like it, 0 to 1."""

    movement: Movement
    kind: Literal["reps", "hold"]
    explains: float
    agreement: float


def _trials(motion: Motion, movement: Movement) -> Iterator[_Trial]:
    """Reps, and the hold of a movement that is usually held, if the clip shows any."""
    ways = expected(movement)
    reps = movement.reps
    if reps is not None and reps.driving in motion.angles:
        cycles = [
            cycle
            for cycle in find_cycles(motion, movement)
            if cycle.status in ("whole", "short") and hands_fit(motion, movement, cycle.start, cycle.end)
        ]
        if cycles:
            moments = np.array([turns(cycle, reps) for cycle in cycles])
            found = {end: posture(motion, movement, at) for end, at in zip(ENDS, moments.T, strict=True)}
            seconds = sum(cycle.end - cycle.start for cycle in cycles)
            yield _Trial(movement, "reps", seconds, likeness(motion, movement, found, ways))
    holds = find_holds(motion, movement) if movement.usual == "hold" else []
    if holds:
        start, end = max(holds, key=lambda span: span[1] - span[0])
        inside = motion.time[(motion.time >= start) & (motion.time <= end)]
        held: Found = {"held": posture(motion, movement, inside)}
        seconds = STILL_SHARE * sum(stop - begin for begin, stop in holds)
        yield _Trial(movement, "hold", seconds, likeness(motion, movement, held, ways))


def _like(movement: Movement, known: Iterable[Movement]) -> tuple[str, ...]:
    return tuple(other.name for other in known if other.looks_like == movement.name)
