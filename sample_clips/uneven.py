"""What disturbs a posture whatever the movement: effort that is not the same left and right, rings that swing."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sample_clips.moves.props import ANCHOR
from sample_clips.posture import POINTS, Posture, shifted
from sample_clips.recipe import Exercise
from sample_clips.turns import about_y, apply

Array = NDArray[np.float64]
PERIOD = 2 * np.pi * np.sqrt(1.9 / 9.81)
"""Seconds of a swing: the body hangs about so far (m) below where the rings are tied."""
FADING = 25.0
"""Seconds in which a swing fades to a third."""
SHIFT = 0.004
"""Metres to one side by which the hips give way, per degree of asymmetry, where the feet bear the body."""


def uneven(posture: Posture, exercise: Exercise, depth: Array) -> Posture:
    """The trunk twisted where the effort is: at the bent end of a rep, all through a hold."""
    if not exercise.asymmetry:
        return posture
    share = np.ones(len(posture)) if exercise.hold is not None else np.clip(depth, 0, 1)
    if exercise.movement == "human-flag":
        share = 0.5 * share
    twist = exercise.asymmetry * share
    aside = np.zeros((len(posture), 3))
    if "squat" in exercise.movement:
        aside[:, 1], twist = SHIFT * twist, 0.5 * twist
    return shifted(posture, twist=twist, hip=aside)


def swung(posture: Posture, exercise: Exercise, time: Array) -> Posture:
    """All of the body turned about where the rings hang from, as a pendulum is."""
    if not exercise.swing:
        return posture
    pivot = np.array([0.0, 0.0, ANCHOR])
    angle = exercise.swing * np.sin(2 * np.pi * time / PERIOD) * np.exp(-time / FADING)
    turn = about_y(angle)
    points = {name: pivot + apply(turn, getattr(posture, name) - pivot) for name in POINTS if _is_place(name)}
    pitches = {name: getattr(posture, name) + angle for name in ("trunk", "foot_left", "foot_right")}
    return replace(posture, **points, **pitches)


def _is_place(name: str) -> bool:
    return name not in ("palm", "fingers")
