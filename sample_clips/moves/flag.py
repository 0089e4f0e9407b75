"""Human flag: both hands on a pole, the body out to the side. It lies in its own frontal plane (Y and Z)."""

import numpy as np

from sample_clips.moves.geometry import Array, crossing, up
from sample_clips.moves.plan import Act, Build, Placed, Prop
from sample_clips.posture import Posture, first, posture
from sample_clips.turns import FORWARD, about, apply

POLE = 0.035
"""The pole is so far ahead of the wrists, metres."""
REACH = 0.07
"""The wrists stop so far short of the pole, which lies in the fist."""


def human_flag(act: Act) -> Placed:
    """The near side's arm is the upper one; as reps it is lowered from above, and `straight`, `bent` are body angles.

    Place: `pole_height` of the middle between the hands, `spacing` of the hands, `level` (body angle), `hip` and
    `knee` bend toward the belly, `apart` (degrees by which each leg opens), `one_leg` (1: the upper leg is straight),
    `elbow` of both arms.
    """
    usual = {"pole_height": 1.35, "spacing": 1.0, "level": 2.0, "hip": 0.0, "knee": 3.0, "apart": 0.0, "elbow": 6.0}
    place = act.place(**usual, one_leg=0.0)
    size = act.build(0, 16, 0)
    level = act.driving if act.exercise.hold is None else place["level"] + act.exercise.drift * act.depth
    main = _at(act, size, place, level + act.unsteady.lean)
    low = first(_at(act, size, place, 0 * level + level[0] + (-16 if level[0] < -30 else 26)))
    pole = Prop("bar", (POLE, 0.0, 0.0), (POLE, 0.0, 3.3), 0.021)
    tucked = place | {"hip": 100.0, "knee": 115.0, "one_leg": 0.0}
    back = _at(act, size, tucked, level) if act.exercise.lowering_only else None
    return Placed(main, (pole,), low, back=back, front=True)


def _at(act: Act, size: Build, place: dict[str, float], level: Array) -> Posture:
    """The posture at body angles (N,): positive with the shoulders higher."""
    top = _top(act)
    side = top * (90 - level)
    tip = about(FORWARD, side)
    body, across = apply(tip, np.array([0.0, 0.0, 1.0])), apply(tip, np.array([0.0, 1.0, 0.0]))
    half = size.half_width[:, None] * across[:, 1:] * top
    arm = size.arm(place["elbow"] + act.zero, float(size.half_width[0]))
    upper = np.array([REACH * top, place["pole_height"] + place["spacing"] / 2])
    lower = np.array([REACH * top, place["pole_height"] - place["spacing"] / 2])
    middle = crossing(lower + half, arm, upper - half, arm, left=top < 0)
    shoulders = np.column_stack([act.zero, middle + act.unsteady.shift[:, 1:] * 0.3])
    hip = shoulders - size.trunk[:, None] * body
    bend = act.unsteady.hip - act.exercise.sag
    hands = {"left": upper, "right": lower} if top > 0 else {"left": lower, "right": upper}
    values = {f"wrist_{s}": np.column_stack([act.zero, hands[s] + 0 * middle]) for s in hands}
    for s, sign in (("left", top), ("right", -top)):
        values |= _leg(act, size, place, hip, side, s, sign, bend)
    return posture(
        len(level), hip=hip, trunk=0.0, shrug=size.shrug, side=side, grip_side=90 * top, flare=10, neck=2,
        palm=(1.0, 0, 0.0), fingers=(0.1, 0, 1.0), along=0.4, curl=1.0, **values,
    )  # fmt: skip


def _leg(
    act: Act, size: Build, place: dict[str, float], hip: Array, side: Array, name: str, sign: float, bend: Array
) -> dict[str, Array]:
    """One leg's ankle and foot; `sign` is 1 for the upper leg. `bend` (N,) drops the legs under the body's line."""
    bent = place["hip"], place["knee"]
    if place["one_leg"] and sign > 0:
        bent = 0.0, 3.0
    open_by = sign * place["apart"] * (1.0 if place["hip"] < 30 else 0.0)
    top = _top(act)
    turned = about(FORWARD, side + top * (open_by - bend))
    drop = size.thigh * up(-bent[0]) + size.shank * up(-bent[0] + bent[1])
    outward = np.array([0.0, (0.07 if name == "left" else -0.07), 0.0])
    leg = apply(turned, outward - np.array([drop[0, 0], 0.0, drop[0, 1]]))
    return {f"ankle_{name}": hip + leg, f"foot_{name}": act.zero + 40 - bent[0] + bent[1]}


def _top(act: Act) -> float:
    """1 where the left arm is the upper one, -1 where the right is."""
    return 1.0 if act.near == "left" else -1.0
