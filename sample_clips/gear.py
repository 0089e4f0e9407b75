"""What hangs and moves with the athlete: rings on their straps, and bands."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sample_clips.joints import middle
from sample_clips.moves.plan import GRIP, ON_BAR
from sample_clips.moves.props import ANCHOR
from sample_clips.recipe import Colour, Exercise
from sample_clips.turns import unit

Array = NDArray[np.float64]
SIDES = ("left", "right")
TUBE, RADIUS, CORNERS = 0.015, 0.11, 12
WOOD: Colour = (0.82, 0.64, 0.44)
BLACK: Colour = (0.10, 0.10, 0.11)
BAND: Colour = (0.75, 0.22, 0.12)
OVERHEAD = frozenset({"push-up", "pike-push-up", "planche", "handstand", "handstand-push-up", "l-sit"})
"""A band hangs from the ceiling; in the other movements from what the hands hold, or across two bars."""


@dataclass(frozen=True)
class Strand:
    """A round piece whose two ends (N, 3) move."""

    first: Array
    second: Array
    radius: float
    material: str
    colour: Colour


def gear(exercise: Exercise, points: dict[str, Array], rest: dict[str, Array]) -> list[Strand]:
    """Everything that moves with the athlete's joints (N, 3), in the same axes; `rest` (1, 3) are those of the start."""
    strands: list[Strand] = []
    if exercise.place.get("rings"):
        for side in SIDES:
            strands += _ring(_grip(points, side), _grip(rest, side))
    if exercise.band != "none":
        anchors = _anchors(exercise, rest)
        for side, anchor in zip(SIDES, anchors, strict=True):
            end = _looped(exercise.band, points, side)
            strands.append(Strand(np.broadcast_to(anchor, end.shape), end, 0.011, "rubber", BAND))
    return strands


def _grip(points: dict[str, Array], side: str) -> Array:
    wrist = points[f"{side}_wrist"]
    return wrist + GRIP * unit(points[f"{side}_knuckle"] - wrist)


def _ring(grip: Array, rest: Array) -> list[Strand]:
    """The fist is round the ring's lowest part; the strap goes straight up to where the ring hangs from."""
    hook = rest * [1.0, 1.0, 0.0] + [0.0, 0.0, ANCHOR]
    upward = unit(hook - grip)
    across = unit(np.cross(upward, [0.0, 1.0, 0.0]))
    turns = np.linspace(0, 2 * np.pi, CORNERS + 1)
    corners = [grip + RADIUS * ((1 - np.cos(t)) * upward + np.sin(t) * across) for t in turns]
    ring = [Strand(a, b, TUBE, "wood", WOOD) for a, b in pairwise(corners)]
    return [*ring, Strand(grip + 2 * RADIUS * upward, np.broadcast_to(hook, grip.shape), 0.008, "rubber", BLACK)]


def _looped(band: str, points: dict[str, Array], side: str) -> Array:
    """Where one strand (N, 3) meets the body."""
    if band == "waist":
        return points[f"{side}_hip"] + 0.07 * unit(points[f"{side}_hip"] - middle(points, "hip"))
    return points[f"{side}_{'knee' if band == 'knees' else 'toe'}"]


def _anchors(exercise: Exercise, rest: dict[str, Array]) -> tuple[Array, Array]:
    """Where the two strands (1, 3) hang from: the ceiling, the post, either bar, or the middle of the bar."""
    hands = rest["left_wrist"], rest["right_wrist"]
    if exercise.movement in OVERHEAD:
        above = middle(rest, "hip") * [1.0, 1.0, 0.0] + [0.0, 0.0, ANCHOR]
        return above + [0.0, 0.04, 0.0], above - [0.0, 0.04, 0.0]
    if exercise.movement == "human-flag":
        top = max(hands, key=lambda hand: float(hand[0, 2])) + [0.0, 0.0, 0.14]
        return top, top
    if exercise.movement == "dip":
        return hands[0] - [0.0, 0.0, ON_BAR], hands[1] - [0.0, 0.0, ON_BAR]
    centre = middle(rest, "wrist") + [0.0, 0.0, GRIP]
    return centre + 0.12 * (hands[0] - centre), centre + 0.12 * (hands[1] - centre)
