"""Standards: how far a body point lies from what it is meant to reach, at one end of each rep."""

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Standard
from models.movements.movement import Movement
from models.movements.standard import BodyPoint, End, StandardEntry, Support
from models.quantity import Q, Unmeasured
from vision import body_points
from vision.body_points import NEEDS
from vision.level import Level
from vision.motion import Motion
from vision.plane import Points, eye_of, front
from vision.propagate import propagate
from vision.sight import Span, frames_for, frames_in, near_name, points, rays_of, sight
from vision.skeleton import INDEX
from vision.uncertainty import quantity

Array = NDArray[np.float64]
Inputs = Mapping[str, float]

SEEN: Final = 0.5
"""Visibility under which a landmark is the model's guess."""
FACE: Final = 0.025
"""Share of height: an ear and a nose that lie nearer together do not tell which way the head is tipped."""
PLACES: Final[Mapping[BodyPoint | Support, Callable[[Points, Inputs], Array]]] = {
    "chin": body_points.chin,
    "shoulder": body_points.shoulder,
    "hip": body_points.hip,
    "hip_crease": body_points.hip_crease,
    "knee_top": body_points.knee_top,
    "grip": body_points.grip,
    "palms": body_points.palms,
    "soles": body_points.soles,
}
WORDS: Final = {"index": "hand", "toe": "foot", "heel": "foot"}


def measure_standards(
    motion: Motion, movement: Movement, level: Level, moments: Mapping[End, Span], resting: Span
) -> tuple[Standard, ...]:
    """Each standard of the movement at one rep.

    Args:
        motion: The athlete over time.
        movement: Names its standards.
        level: Which way is down.
        moments: Start and end (s) of the moment at the straight and at the bent end of the rep.
        resting: Start and end (s) of the set, over which the hands rest.
    """

    def distance(entry: StandardEntry) -> Q:
        moment = moments[entry.end]
        refusal = _refusal(motion, entry, moment, resting)
        if refusal is not None:
            return Unmeasured(reason=refusal)
        seen = sight(motion, level, moment, resting)

        def signed(inputs: Array) -> float:
            x = seen.named(inputs)
            return 100 * reached(entry, points(seen.eye, x), x)

        value, u = propagate(signed, seen.value, seen.u)
        return quantity(value, "% of height", u)

    return tuple(Standard(name=entry.name, distance=distance(entry)) for entry in movement.standards)


def without_standards(movement: Movement, reason: str) -> tuple[Standard, ...]:
    """Each standard of the movement without a value."""
    return tuple(Standard(name=entry.name, distance=Unmeasured(reason=reason)) for entry in movement.standards)


def reached(entry: StandardEntry, at: Points, shares: Inputs) -> float:
    """How far the point has passed what it is meant to reach, share of height (`models.movements.standard`)."""
    if entry.way == "above":
        return _height(entry.point, at, shares) - _height(entry.reference, at, shares)
    if entry.way == "below":
        return _height(entry.reference, at, shares) - _height(entry.point, at, shares, upper=True)
    if entry.reference == "grip":
        return _to_the_chest(at, shares)
    return _height(entry.reference, at, shares) - _lowest(entry.point, at, shares)


def _to_the_chest(at: Points, shares: Inputs) -> float:
    """Minus the gap between the grip line and the front of the trunk."""
    upper, lower = body_points.chest(at, shares)
    bar = body_points.grip(at, shares)
    along = upper - lower
    share = float((bar - lower) @ along / (along @ along))
    if 0 <= share <= 1:
        return -float((bar - lower) @ front(along))
    return -float(np.linalg.norm(bar - (upper if share > 1 else lower)))


def _lowest(point: BodyPoint, at: Points, shares: Inputs) -> float:
    """Height of what would touch a level plane first."""
    if point == "chest":
        return min(float(end[1]) for end in body_points.chest(at, shares))
    return _height(point, at, shares)


def _height(name: BodyPoint | Support, at: Points, shares: Inputs, *, upper: bool = False) -> float:
    """Height of a point or support over the lens; of the head the lower or the upper end."""
    if name == "head":
        radius = shares["skull_radius"]
        return float(body_points.skull(at, shares)[1]) + (radius if upper else -radius)
    if name == "chest":
        return float(body_points.chest(at, shares)[1][1])
    return float(PLACES[name](at, shares)[1] if name in PLACES else at[name][1])


def _refusal(motion: Motion, entry: StandardEntry, moment: Span, resting: Span) -> str | None:
    """Why the standard has no value at that moment, if so."""
    if motion.view.oblique:
        return motion.view.refusal
    needed = NEEDS[entry.point] + NEEDS[entry.reference]
    for name in needed:
        frames = frames_for(motion, name, moment, resting)
        if float(np.median(motion.visibility[frames, INDEX[near_name(motion, name)]])) < SEEN:
            return f"the {WORDS.get(name, name)} is hidden from the lens"
    frames = frames_in(motion, moment)
    face = np.median(rays_of(motion, "nose")[frames] - rays_of(motion, "ear")[frames], axis=0)
    if "nose" in needed and np.linalg.norm(face) < FACE / eye_of(motion).distance:
        return "the face is turned toward the lens or away from it"
    return None
