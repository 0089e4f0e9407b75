"""Row, pull-up and dip: the hands stay on a bar."""

import numpy as np

from sample_clips.body import Body
from sample_clips.moves.plan import (
    GRIP,
    Array,
    Placed,
    Prop,
    Unsteady,
    both,
    build,
    crossing,
    deep,
    hang_body,
    posture,
    span,
    up,
)
from sample_clips.posture import Posture
from sample_clips.recipe import Exercise


def row(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """A straight body under a bar or straps, turning about the heels.

    Place: `body_angle` at straight arms, `foot_height`, `hand_half_width`, `straps` (1: two straps from above).
    """
    place = {"body_angle": 40.0, "foot_height": 0.0, "hand_half_width": 0.26, "straps": 0.0, "knee": 4.0}
    place |= exercise.place
    zero = 0 * depth
    lumbar, shrug, protract = zero - 3, zero + 2, 14 - 30 * depth
    size = build(body, lumbar, shrug, protract)
    hip = unsteady.hip - exercise.sag * (1 - 0.7 * depth)
    leg, knee_line = size.leg(place["knee"]) + zero, place["body_angle"]
    pitch = knee_line - 90.0
    elbow = exercise.straight + (exercise.bent - exercise.straight) * depth
    whole, arm = span(leg, size.trunk, hip), size.arm(elbow, place["hand_half_width"])
    ankle = np.array([0.0, place["foot_height"] + body.sole + 0.012])
    straight = build(body, lumbar[:1], shrug[:1], zero[:1] + 14)
    shoulder_at = ankle + span(leg[:1], straight.trunk, zero[:1] - exercise.sag)[:, None] * up(pitch)
    hang = straight.arm(np.array([exercise.straight]), place["hand_half_width"])
    wrist = shoulder_at + hang[:, None] * up(place["body_angle"] * 0.55)
    wrist = wrist + zero[:, None]
    ankle = ankle + unsteady.shift[:, [0, 2]] * [1.0, 0.2]
    shoulder = crossing(ankle, whole, wrist, arm, left=True)
    hips, trunk = hang_body(ankle, shoulder, leg, size.trunk, hip)
    grip = wrist[0] + GRIP * up(place["body_angle"] * 0.45)[0]
    main = posture(
        len(depth), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, lumbar=lumbar, shrug=shrug, protract=protract,
        flare=exercise.flare, neck=4 + 8 * depth, palm=(1.0, 0, -0.4), fingers=deep(up(place["body_angle"] * 0.45))[0],
        along=0.4, curl=1.0, foot_left=pitch * 0.55, foot_right=pitch * 0.55,
        **both("wrist", wrist[:, 0], place["hand_half_width"], wrist[:, 1]), **both("ankle", ankle[:, 0], 0.08, ankle[:, 1]),
    )  # fmt: skip
    return Placed(main, _row_props(place, grip, ankle[0]), _sat_back(main))


def pull_up(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Hanging from a bar. Place: `bar_height`, `hand_half_width`, `knee`, `step` (height of a box to climb on, 0 none)."""
    place = {"bar_height": 2.35, "hand_half_width": 0.28, "knee": 25.0, "step": 0.0, "hip": 8.0} | exercise.place
    zero = 0 * depth
    lumbar, shrug, protract = zero - 6 * depth, 26 - 24 * depth, zero
    size = build(body, lumbar, shrug, protract)
    elbow = exercise.straight + (exercise.bent - exercise.straight) * depth
    arm = size.arm(elbow, place["hand_half_width"])
    wrist = np.stack([zero, zero + place["bar_height"] - GRIP], -1)
    behind = np.minimum(0.03 + 0.15 * depth, 0.7 * arm) + unsteady.shift[:, 0]
    shoulder = wrist + np.stack([-behind, -np.sqrt(arm**2 - behind**2)], -1)
    trunk = -2 - 16 * depth + unsteady.lean
    hips = shoulder - size.trunk[:, None] * up(trunk)
    thigh = trunk - place["hip"] - unsteady.hip - 6 * depth
    ankle = hips - size.thigh * up(thigh) - size.shank * up(thigh + place["knee"])
    main = posture(
        len(depth), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, lumbar=lumbar, shrug=shrug, protract=protract,
        flare=exercise.flare + 15, neck=-14 - 4 * depth, palm=(1.0, 0, 0.1), fingers=(0.05, 0, 1.0), along=0.35, curl=1.0,
        foot_left=thigh + place["knee"] + 35, foot_right=thigh + place["knee"] + 35,
        **both("wrist", wrist[:, 0], place["hand_half_width"], wrist[:, 1]), **both("ankle", ankle[:, 0], 0.07, ankle[:, 1]),
    )  # fmt: skip
    half = 0.75
    props = [Prop("bar", (0.03, -half, place["bar_height"]), (0.03, half, place["bar_height"]), 0.017)]
    props += [Prop("bar", (0.03, y, place["bar_height"]), (0.03, y, 3.3), 0.025, "paint") for y in (-half, half)]
    if place["step"] > 0:
        props.append(Prop("box", (0.41, 0, place["step"] / 2), (0.5, 0.6, place["step"]), material="wood"))
    return Placed(main, tuple(props), _feet_swing(main))


def dip(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Between parallel bars. Place: `bar_height`, `hand_half_width`, `knee` and `hip` bend, `lean` at the bottom."""
    place = {"bar_height": 1.25, "hand_half_width": 0.26, "knee": 70.0, "hip": 12.0, "lean": 26.0} | exercise.place
    zero = 0 * depth
    lumbar, shrug, protract = zero + 4, -6 + 12 * depth, 6 + zero
    size = build(body, lumbar, shrug, protract)
    elbow = exercise.straight + (exercise.bent - exercise.straight) * depth
    arm = size.arm(elbow, place["hand_half_width"])
    wrist = np.stack([zero, zero + place["bar_height"] + 0.06], -1)
    ahead = 0.03 + 0.13 * depth + unsteady.shift[:, 0]
    shoulder = wrist + np.stack([ahead, np.sqrt(arm**2 - ahead**2)], -1)
    trunk = 5 + (place["lean"] - 5) * depth + unsteady.lean
    hips = shoulder - size.trunk[:, None] * up(trunk)
    thigh = trunk - place["hip"] - unsteady.hip
    ankle = hips - size.thigh * up(thigh) - size.shank * up(thigh + place["knee"])
    foot = thigh + place["knee"] + 30
    main = posture(
        len(depth), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, lumbar=lumbar, shrug=shrug, protract=protract,
        flare=exercise.flare, neck=-10 - 0.3 * trunk, palm=(0.0, -0.35, -1.0), fingers=(0.75, 0, -0.65), curl=0.8,
        foot_left=foot, foot_right=foot + 4,
        **both("wrist", wrist[:, 0], place["hand_half_width"], wrist[:, 1]), **both("ankle", ankle[:, 0], 0.06, ankle[:, 1]),
    )  # fmt: skip
    rails = [Prop("bar", (-0.5, y, place["bar_height"]), (0.55, y, place["bar_height"]), 0.02) for y in _sides(place)]
    legs = [
        Prop("bar", (x, y, 0), (x, y, place["bar_height"]), 0.02, "paint") for y in _sides(place) for x in (-0.48, 0.53)
    ]
    return Placed(main, tuple(rails + legs), _feet_swing(main))


def _sides(place: dict[str, float]) -> tuple[float, float]:
    return -place["hand_half_width"], place["hand_half_width"]


def _row_props(place: dict[str, float], grip: Array, ankle: Array) -> tuple[Prop, ...]:
    x, z = float(grip[0]), float(grip[1])
    props = []
    if place["straps"]:
        for y in _sides(place):
            props.append(Prop("bar", (x, y - 0.06, z), (x, y + 0.06, z), 0.016, "rubber"))
            props += [Prop("bar", (x, y + e, z), (x + 0.1, y * 0.4, 2.6), 0.006, "rubber") for e in (-0.06, 0.06)]
        props.append(Prop("bar", (x + 0.1, -0.5, 2.6), (x + 0.1, 0.5, 2.6), 0.03, "steel"))
    else:
        props.append(Prop("bar", (x, -0.5, z), (x, 0.95, z), 0.016))
        props.append(Prop("bar", (x, 0.95, 0), (x, 0.95, z + 0.25), 0.03, "paint"))
    if place["foot_height"] > 0:
        h = place["foot_height"]
        props.append(Prop("box", (float(ankle[0]) + 0.06, 0, h / 2), (0.42, 0.6, h), material="wood"))
    return tuple(props)


def _sat_back(main: Posture) -> Posture:
    """Arms straight, hips dropped, before the body is straightened."""
    values = {name: getattr(main, name)[:1].copy() for name in main.__dataclass_fields__}
    values["hip"] += [0.05, 0.0, -0.16]
    values["trunk"] += 16
    values["neck"] += 12
    return Posture(**values)


def _feet_swing(main: Posture) -> Posture:
    """Legs a little ahead, before the body hangs quiet."""
    values = {name: getattr(main, name)[:1].copy() for name in main.__dataclass_fields__}
    values["ankle_left"] += [0.16, 0.0, 0.05]
    values["ankle_right"] += [0.10, 0.0, 0.03]
    values["hip"] += [0.03, 0.0, 0.0]
    values["trunk"] -= 4
    return Posture(**values)
