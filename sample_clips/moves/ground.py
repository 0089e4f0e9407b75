"""Push-up and squat: the feet stay on the floor."""

import numpy as np

from sample_clips.body import Body
from sample_clips.moves.plan import (
    Array,
    Build,
    Placed,
    Prop,
    Unsteady,
    balance,
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

ON_TOES = 68.0


def push_up(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Shoulders where the circle about the ankle crosses the circle about the hand.

    Place: `hand_height`, `foot_height` of a box in metres, `hand_half_width`, `hands_behind` the shoulders at the top.
    """
    place = {"hand_height": 0.0, "foot_height": 0.0, "hand_half_width": 0.27, "hands_behind": 0.06} | exercise.place
    zero = 0 * depth
    lumbar, shrug, protract = zero - 4, zero, 12 - 14 * depth
    size = build(body, lumbar, shrug, protract)
    elbow = exercise.straight + (exercise.bent - exercise.straight) * depth
    hip = unsteady.hip - exercise.sag * (0.4 + 0.6 * depth)
    leg = size.leg(3.0) + zero
    ankle = np.stack([zero, place["foot_height"] + _ankle_on_toes(body) + 0 * zero], -1)
    arm = size.arm(elbow, place["hand_half_width"])
    whole = span(leg, size.trunk, hip)
    wrist_height = place["hand_height"] + 0.045
    straight = np.array([exercise.straight])
    top = wrist_height + build(body, lumbar[:1], shrug[:1], zero[:1] + 12).arm(straight, place["hand_half_width"])
    level = np.sqrt(span(leg[:1], size.trunk[:1], hip[:1] * 0 - 0.4 * exercise.sag) ** 2 - (top - ankle[0, 1]) ** 2)
    wrist = np.stack([zero + level - place["hands_behind"], zero + wrist_height], -1)
    ankle = ankle + unsteady.shift[:, [0, 2]] * [1.0, 0.3]
    shoulder = crossing(ankle, whole, wrist, arm, left=True)
    hips, trunk = hang_body(ankle, shoulder, leg, size.trunk, hip)
    limbs = both("wrist", wrist[:, 0], place["hand_half_width"], wrist[:, 1])
    feet = both("ankle", ankle[:, 0], 0.09, ankle[:, 1])
    main = posture(
        len(depth), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, lumbar=lumbar, shrug=shrug, protract=protract,
        flare=exercise.flare, foot_left=ON_TOES, foot_right=ON_TOES, toes=-55, neck=-18 + 6 * depth, **limbs, **feet,
    )  # fmt: skip
    return Placed(main, _boxes(place, wrist, ankle), _on_all_fours(main, place, size))


def squat(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Feet flat, arms ahead as a counterweight, trunk tipped so that the centre of mass stays over the feet."""
    place = {"shin": 34.0, "foot_half_width": float(body.head("upperleg01.L")[1]), "arms_ahead": 1.0} | exercise.place
    zero = 0 * depth
    knee = exercise.straight + (exercise.bent - exercise.straight) * depth
    size = build(body, zero + 8 * depth, zero + 4, zero + 8)
    shin = place["shin"] * np.clip(knee / 100, 0, 1.1) + 3.0 + unsteady.lean
    ankle = np.stack([zero, zero + body.sole], -1)
    knees = ankle + size.shank * up(shin)
    hips = knees + size.thigh * up(shin - knee)
    raised = 12 + (76 + unsteady.hip) * place["arms_ahead"] * np.clip(depth * 1.8, 0, 1)

    def make(trunk: Array) -> Posture:
        shoulder = hips + size.trunk[:, None] * up(trunk)
        arm = size.arm(zero + 14, 0.24)
        wrist = shoulder - arm[:, None] * up(trunk - raised - trunk * np.clip(depth * 1.8, 0, 1))
        return posture(
            len(depth), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, lumbar=8 * depth, shrug=zero + 4, flare=10,
            protract=zero + 8, knee_out=14 * depth, neck=-0.45 * trunk, palm=(0, -1, 0), along=1.0, curl=0.25,
            **both("wrist", wrist[:, 0], 0.24, wrist[:, 1]),
            **both("ankle", ankle[:, 0], place["foot_half_width"], ankle[:, 1]),
        )  # fmt: skip

    over = 0.05 + unsteady.shift[:, 0]
    trunk = balance(body, make, over, zero + 5 + 35 * depth)
    main = make(np.clip(trunk, -5, 62))
    return Placed(main, (), _shifted_weight(main))


def _shifted_weight(main: Posture) -> Posture:
    """Standing at ease: weight on one leg, a foot a little back."""
    values = {name: getattr(main, name)[:1].copy() for name in main.__dataclass_fields__}
    values["hip"] += [-0.03, 0.03, -0.008]
    values["ankle_right"] += [-0.16, -0.03, 0.0]
    values["trunk"] += 2
    return Posture(**values)


def _on_all_fours(main: Posture, place: dict[str, float], size: Build) -> Posture:
    """Hands and shoulders where they will be, hips over bent knees."""
    values = {name: getattr(main, name)[:1].copy() for name in main.__dataclass_fields__}
    shoulder = values["hip"][:, [0, 2]] + size.trunk[0] * up(values["trunk"])
    values["trunk"] = np.maximum(values["trunk"] + 4, 84.0) if place["hand_height"] < 0.2 else values["trunk"] - 6
    hips = shoulder - size.trunk[0] * up(values["trunk"])
    values["hip"] = deep(hips)
    step = hips[0, 0] - 0.9 * size.shank - values["ankle_left"][0, 0] if place["hand_height"] < 0.2 else 0.16
    for side in ("left", "right"):
        values[f"ankle_{side}"] += [step, 0.0, 0.0]
    return Posture(**values)


def _ankle_on_toes(body: Body) -> float:
    """Height of the ankle's centre when the ball of the foot bears the body."""
    ball = body.head("toe2-1.L") - body.head("foot.L")
    pitch = np.radians(ON_TOES)
    ball_clearance = body.head("toe2-1.L")[2] - body.vertices[:, 2].min()
    return float(np.sin(pitch) * ball[0] - np.cos(pitch) * ball[2] + ball_clearance)


def _boxes(place: dict[str, float], wrist: Array, ankle: Array) -> tuple[Prop, ...]:
    props = []
    if place["hand_height"] > 0:
        h = place["hand_height"]
        props.append(Prop("box", (float(wrist[0, 0]) + 0.14, 0, h / 2), (0.5, 1.1, h), material="wood"))
    if place["foot_height"] > 0:
        h = place["foot_height"]
        props.append(Prop("box", (float(ankle[0, 0]) + 0.02, 0, h / 2), (0.4, 0.7, h), material="wood"))
    return tuple(props)
