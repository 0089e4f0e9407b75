"""Front lever, back lever and planche: level on straight arms, the centre of mass under or over the hands."""

import numpy as np

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import Array, deep, up
from sample_clips.moves.plan import GRIP, ON_BAR, Act, Build, Placed
from sample_clips.posture import Posture, Value, Values

LEGS = {"hip": 2.0, "knee": 3.0, "straddle": 0.06, "far_hip": -1.0, "far_knee": 0.0}
"""Measures of the legs: bend at hips and knees, half width of the ankles, and the far leg's own bends (-1: the same)."""

TUCKED = {"hip": 115.0, "knee": 120.0, "straddle": 0.08, "far_hip": -1.0}


def front_lever(act: Act) -> Placed:
    """Level under a bar, belly up; as reps it is lowered from above and `straight` and `bent` are body angles.

    Place: `level` (body angle), `bar_height`, `rings`, and LEGS.
    """
    place = act.place(**(LEGS | {"bar_height": 2.1, "hand_half_width": 0.24, "level": 2.0, "rings": 0.0, "elbow": 5.0}))
    return _hung(act, place, facing=-1.0)


def back_lever(act: Act) -> Placed:
    """Level under a bar, belly down, the arms behind the back. Place: as the front lever."""
    place = act.place(**(LEGS | {"bar_height": 2.1, "hand_half_width": 0.24, "level": 2.0, "rings": 0.0, "elbow": 5.0}))
    return _hung(act, place, facing=1.0)


def _hung(act: Act, place: dict[str, float], facing: float) -> Placed:
    """Hung from straight arms, the head ahead (`facing` 1) or behind (-1) of the hands."""
    size = act.build(6 if facing < 0 else -4, 2, 4 if facing < 0 else -8)
    elbow = place["elbow"] if act.exercise.hold is None else act.exercise.straight
    arm = size.arm(elbow + act.zero, place["hand_half_width"])
    wrist = np.array([0.0, place["bar_height"] - GRIP])
    level = _level(act, place)
    trunk = facing * (90 - level) + act.unsteady.lean

    def make(slant: Array, legs: dict[str, float] = place) -> Posture:
        shoulder = wrist - arm[:, None] * up(slant)
        hands: Values = {"palm": (-1, 0, 0.4) if facing < 0 else (1, 0, 0.3), "fingers": deep(up(slant)), "curl": 1.0}
        return lever(act, size, legs, shoulder, trunk, wrist, **hands, neck=0 if facing < 0 else -22)

    high = act.zero if place["rings"] or act.exercise.hold else np.clip(-level / 60, 0, 1)
    beside = -facing * 0.15 * high  # a bar must pass the hips of a body that is nearly upright
    slant = act.balance(make, 0.02 + beside + act.unsteady.shift[:, 0], act.zero - facing * 32)
    main = make(slant)
    held = () if place["rings"] else props.high_bar(0.0, place["bar_height"], 0.8)
    back = make(slant, place | TUCKED) if act.exercise.lowering_only else None
    return Placed(main, held, ready.hips_low(main, -0.12), stand=0.0, back=back)


def planche(act: Act) -> Placed:
    """Level above the hands, belly down. Place: `level`, `bar_height` of the parallettes (0: floor), `rings`, LEGS,
    `sink` of the hips before it is level.
    """
    usual = LEGS | {"bar_height": 0.22, "hand_half_width": 0.24, "level": -4.0, "hip": 118.0, "knee": 128.0}
    place = act.place(**usual, rings=0.0, sink=0.08)
    size = act.build(22, -6, 16)
    arm = size.arm(act.exercise.straight + act.zero, place["hand_half_width"])
    wrist = np.array([0.0, place["bar_height"] + (ON_BAR if place["bar_height"] else 0.045)])
    trunk = 90 - place["level"] + act.exercise.drift * act.depth + act.unsteady.lean
    grip: Values = {"palm": (0, -0.5, -1), "fingers": (0.75, 0, -0.65), "curl": 0.8} if place["bar_height"] else {}

    def make(slant: Array) -> Posture:
        shoulder = wrist + arm[:, None] * up(slant)
        return lever(act, size, place, shoulder, trunk, wrist, **grip, neck=-34.0)

    main = make(act.balance(make, 0.02 + act.unsteady.shift[:, 0], act.zero + (25 if place["hip"] > 60 else 42)))
    held = props.parallettes(place["hand_half_width"], place["bar_height"])
    held = () if place["rings"] or not place["bar_height"] else held
    return Placed(main, held, ready.hips_low(main, -place["sink"]), stand=-0.35)


def lever(
    act: Act,
    size: Build,
    place: dict[str, float],
    shoulder: Array,
    trunk: Array,
    wrist: Array,
    **more: Value,
) -> Posture:
    """Trunk from the shoulders, legs from the hips by their bend; the far leg may be bent by itself."""
    hips = shoulder - size.trunk[:, None] * up(trunk)
    ankle, shank = _leg(act, size, hips, trunk, place["hip"], place["knee"], place["straddle"])
    feet: Values = {"foot_left": shank + 42, "foot_right": shank + 42}
    if place["far_hip"] >= 0:
        tucked, tucked_shank = _leg(act, size, hips, trunk, place["far_hip"], place["far_knee"], 0.08)
        outward = 0.08 if act.far == "left" else -0.08
        feet |= {f"ankle_{act.far}": deep(tucked, outward), f"foot_{act.far}": tucked_shank + 42}
    feet["splay"] = 60 * max(place["straddle"] - 0.1, 0.0)
    return act.pose(
        size, hips, trunk, (wrist + 0 * hips, place["hand_half_width"]), (ankle, place["straddle"]), flare=10,
        **(feet | more),
    )  # fmt: skip


def _leg(
    act: Act, size: Build, hips: Array, trunk: Array, hip: float, knee: float, half_width: float
) -> tuple[Array, Array]:
    """Ankles (N, 2) and the shanks' pitch (N,); straddled legs reach less far in the plane."""
    thigh = trunk - hip - act.unsteady.hip
    shank = thigh + knee
    reach = size.thigh * up(thigh) + size.shank * up(shank)
    aside = max(half_width - 0.1, 0.0) / np.linalg.norm(reach, axis=1, keepdims=True)
    return hips - reach * np.sqrt(1 - aside**2), shank


def _level(act: Act, place: dict[str, float]) -> Array:
    """Body angle (N,): held and drifting, or as the reps have it."""
    if act.exercise.hold is None:
        return act.driving
    return place["level"] + act.exercise.drift * act.depth
