"""Handstand and handstand push-up: the hands stay on the floor, the feet are above."""

import numpy as np

from sample_clips.body import Body
from sample_clips.moves.plan import (
    Array,
    Placed,
    Prop,
    Unsteady,
    balance,
    both,
    build,
    deep,
    hang_body,
    posture,
    span,
    up,
)
from sample_clips.posture import Posture
from sample_clips.recipe import Exercise

WRIST = 0.05
"""Height of the wrist's centre above the floor, the palm flat (an adult's hand), metres."""


def handstand_push_up(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Heels on a wall behind the back. Place: `wall` (from the wrists), `hand_half_width`."""
    place = {"wall": 0.36, "hand_half_width": 0.30, "ahead": 0.07} | exercise.place
    zero = 0 * depth
    lumbar, shrug, protract = zero - 6, 26 - 24 * depth, zero
    size = build(body, lumbar, shrug, protract)
    elbow = exercise.straight + (exercise.bent - exercise.straight) * depth
    arm = size.arm(elbow, place["hand_half_width"])
    wrist = np.stack([zero, zero + WRIST], -1)
    ahead = -0.01 + place["ahead"] * depth + 0.5 * unsteady.shift[:, 0]
    shoulder = wrist + np.stack([ahead, np.sqrt(arm**2 - ahead**2)], -1)
    hip = unsteady.hip - exercise.sag
    leg = size.leg(4.0) + zero
    whole = span(leg, size.trunk, hip)
    across = place["wall"] - 0.075 - shoulder[:, 0]
    ankle = shoulder + np.stack([across, np.sqrt(whole**2 - across**2)], -1)
    hips, trunk = hang_body(ankle, shoulder, leg, size.trunk, hip)
    main = posture(
        len(depth), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, lumbar=lumbar, shrug=shrug, protract=protract,
        flare=exercise.flare, neck=-22 + 6 * depth, palm=(0, 0, -1), fingers=(1, 0.15, 0), curl=0.05,
        foot_left=176, foot_right=180, **both("wrist", 0.0, place["hand_half_width"], WRIST),
        **both("ankle", ankle[:, 0], 0.07, ankle[:, 1]),
    )  # fmt: skip
    thickness = 0.2
    wall = Prop("box", (place["wall"] + thickness / 2, 0.1, 1.3), (thickness, 2.6, 2.6), material="wall")
    return Placed(main, (wall,), _one_leg_off(main))


def handstand(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Free handstand: a rod above the hands with small turns at hips and shoulders. Place: `lean`, `straddle`."""
    place = {"lean": 1.0, "hand_half_width": 0.23, "straddle": 0.07, "arch": 6.0} | exercise.place
    zero = 0 * depth
    lumbar, shrug, protract = zero - 4, zero + 28, zero
    size = build(body, lumbar, shrug, protract)
    arm = size.arm(exercise.straight + zero, place["hand_half_width"])
    hip = unsteady.hip - place["arch"]
    leg = size.leg(3.0) + zero
    opening = place["lean"] + unsteady.lean

    def make(tilt: Array) -> Posture:
        shoulder = np.array([0.0, WRIST]) + arm[:, None] * up(tilt)
        line = tilt + opening
        ankle = shoulder + span(leg, size.trunk, hip)[:, None] * up(line)
        hips, trunk = hang_body(ankle, shoulder, leg, size.trunk, hip)
        return posture(
            len(depth), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, lumbar=lumbar, shrug=shrug, flare=10,
            neck=-28, palm=(0, 0, -1), fingers=(1, 0.1, 0), curl=0.05, foot_left=218, foot_right=218,
            **both("wrist", 0.0, place["hand_half_width"], WRIST),
            **both("ankle", ankle[:, 0], place["straddle"], ankle[:, 1]),
        )  # fmt: skip

    tilt = balance(body, make, 0.055 + unsteady.shift[:, 0], zero)
    main = make(tilt)
    return Placed(main, (), _one_leg_off(main))


def _one_leg_off(main: Posture) -> Posture:
    """One leg still on its way up: bent and behind, the back arched."""
    values = {name: getattr(main, name)[:1].copy() for name in main.__dataclass_fields__}
    values["ankle_left"] += [-0.22, 0.0, -0.16]
    values["ankle_right"] += [-0.34, 0.0, -0.30]
    values["hip"] += [0.02, 0.0, -0.01]
    values["trunk"] += 3
    return Posture(**values)
