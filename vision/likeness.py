"""How much a posture that a clip shows looks like one that the catalogue names."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.movements.demand import End
from models.movements.movement import Movement
from vision import angles as goniometry
from vision.body_angles import hip_joint
from vision.expected import OTHER_LEG, Way, counting, hands_are_free, in_spreads, unsigned
from vision.motion import Motion
from vision.reps import MOMENT
from vision.skeleton import INDEX, OTHER_SIDE

Array = NDArray[np.float64]
Found = dict[End, Array]

HANDS_STAY: Final = 0.35
"""Hands that move less than this share of the hips' way hold on to something and bear a part of the body."""


def likeness(motion: Motion, movement: Movement, found: Found, ways: Sequence[Way]) -> float:
    """How much postures (7,), read by `posture`, look like the nearest way of doing a movement, 0 to 1."""
    able = [way for way in ways if found.keys() <= way.keys()]
    signed = _shows_signs(motion, movement)
    apart = [
        np.mean([_apart(found[end], way[end] if signed else unsigned(way[end]), movement) for end in found])
        for way in able
    ]
    return float(np.exp(-min(apart) / 2)) if apart else 0.0


def hands_fit(motion: Motion, movement: Movement, start: float, end: float) -> bool:
    """Whether from `start` to `end` (s) the hands do not hold on, in a movement in which they bear nothing."""
    if not hands_are_free(movement):
        return True
    inside = (motion.time >= start) & (motion.time <= end)
    hips, hands = (
        np.linalg.norm(np.ptp(motion.rays[inside, INDEX[f"{motion.near}_{name}"]], axis=0)) for name in ("hip", "wrist")
    )
    return bool(hands >= HANDS_STAY * hips)


def posture(motion: Motion, movement: Movement, moments: Array) -> Array:
    """Median posture (7,) at some moments (seconds), as `vision.expected` has it, or without signs where none show."""
    near = np.abs(motion.time[:, None] - moments) <= MOMENT
    frames = np.flatnonzero(near.any(axis=1))
    if not len(frames):
        frames = np.array([int(np.argmin(np.abs(motion.time - np.median(moments))))])
    signed = _shows_signs(motion, movement)
    joints = [motion.angles[name] for name in ("shoulder", "elbow", "hip", "knee")]
    series = [_trunk(motion) if signed else motion.angles["trunk"], *joints, *_far_leg(motion)]
    seen = np.array([np.median(each[frames]) for each in series])
    return seen if signed else unsigned(seen)


def _shows_signs(motion: Motion, movement: Movement) -> bool:
    """Whether the view tells bending forwards from bending backwards."""
    return movement.plane == "sagittal" and not motion.view.oblique


def _apart(seen: Array, wanted: Array, movement: Movement) -> float:
    """Mean square of the differences of two postures, each in its spread; either leg may be the working one."""
    turned = [in_spreads(seen, each) for each in (wanted, wanted[OTHER_LEG])]
    places = list(counting(movement))
    return float(min(np.mean(turn[places] ** 2) for turn in turned))


def _trunk(motion: Motion) -> Array:
    """(frames,) direction from hips to shoulders, without a seam within the clip."""
    shoulder, hip = (motion.rays[:, INDEX[f"{motion.near}_{name}"]] for name in ("shoulder", "hip"))
    x, down = (shoulder - hip_joint(shoulder, hip, motion.near)).T
    ahead = x if motion.near == "right" else -x
    return np.unwrap(np.degrees(np.arctan2(-down, ahead)), period=360)


def _far_leg(motion: Motion) -> tuple[Array, Array]:
    """(frames,) hip and knee flexion of the far leg."""
    far = OTHER_SIDE[motion.near]
    shoulder = motion.rays[:, INDEX[f"{motion.near}_shoulder"]]
    hip, knee, ankle = (motion.rays[:, INDEX[f"{far}_{name}"]] for name in ("hip", "knee", "ankle"))
    return (
        goniometry.hip_flexion(shoulder, hip, knee, motion.near),
        goniometry.knee_flexion(hip, knee, ankle, motion.near),
    )
