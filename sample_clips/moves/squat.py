"""Squat on two legs and on one: the feet stay flat on the floor, the centre of mass over them."""

import numpy as np

from sample_clips.moves import ready
from sample_clips.moves.geometry import deep, up
from sample_clips.moves.plan import Act, Array, Build, Placed
from sample_clips.posture import Posture, Values, first, shifted

OVER = 0.05
"""Where the centre of mass stands ahead of the ankles, metres."""
UNDER = 0.045
"""How far the one foot that bears the body is from its middle plane, metres."""


def squat(act: Act) -> Placed:
    """Arms ahead as a counterweight. Place: `shin` (how far the shanks tip), `foot_half_width`, `arms_ahead`."""
    half_width = float(act.body.head("upperleg01.L")[1])
    place = act.place(shin=34.0, foot_half_width=half_width, arms_ahead=1.0)
    size = act.build(8 * act.depth, 4, 8)
    ankle, hips = _legs(act, size, place["shin"])

    def make(trunk: Array) -> Posture:
        wrist = _arms_ahead(act, size, hips, trunk, place["arms_ahead"])
        return act.pose(
            size, hips, trunk, (wrist, 0.24), (ankle, place["foot_half_width"]), flare=10,
            knee_out=14 * act.depth, neck=-0.45 * trunk, palm=(0, -1, 0), along=1.0, curl=0.25,
        )  # fmt: skip

    trunk = act.balance(make, OVER + act.unsteady.shift[:, 0], act.zero + 5 + 35 * act.depth)
    main = make(np.clip(trunk, -5, 62))
    return Placed(main, (), ready.weight_on_one_leg(main))


def single_leg_squat(act: Act) -> Placed:
    """On the near leg, the other straight ahead. Place: `shin`, `arms_ahead`, `free` (the free thigh's rise at the
    bottom, degrees), `free_knee` bend.
    """
    place, depth = act.place(shin=38.0, arms_ahead=1.0, free=96.0, free_knee=12.0), act.depth
    size = act.build(16 * depth, 4, 8)
    ankle, hips = _legs(act, size, place["shin"], float(act.body.head("upperleg01.L")[1]) - UNDER)
    inward = UNDER if act.near == "left" else -UNDER
    rise = -(24 + (place["free"] - 24) * np.clip(1.4 * depth, 0, 1))
    free = hips - size.thigh * up(rise) - size.shank * up(rise + place["free_knee"] + 10 * (1 - depth))
    feet = {f"ankle_{act.near}": deep(ankle, inward), f"ankle_{act.far}": deep(free, -2.2 * inward)}
    feet |= {f"foot_{act.far}": rise + 10, f"foot_{act.near}": act.zero}

    def make(trunk: Array) -> Posture:
        wrist = _arms_ahead(act, size, hips, trunk, place["arms_ahead"])
        return act.pose(
            size, hips, trunk, (wrist, 0.2), (ankle, 0.0), flare=10, neck=-0.5 * trunk, palm=(0, -1, 0), along=1.0,
            curl=0.25, **feet,
        )  # fmt: skip

    trunk = act.balance(make, OVER + act.unsteady.shift[:, 0], act.zero + 5 + 35 * depth)
    main = make(np.clip(trunk, -8, 66))
    touching_down: Values = {f"ankle_{act.far}": [-0.22, 0.0, -0.05], f"foot_{act.far}": 10}
    return Placed(main, (), shifted(first(main), trunk=2, **touching_down))


def _legs(act: Act, size: Build, shin: float, aside: float = 0.0) -> tuple[Array, Array]:
    """Ankles and hips (N, 2) of legs bent to the driving angle, the shanks tipped by `shin` at a right-angled knee.

    The feet are `aside` (m) of the hips.
    """
    tipped = shin * np.clip(act.driving / 100, 0, 1.1) + 3.0 + act.unsteady.lean
    ankle = np.stack([act.zero, act.zero + act.body.sole], -1)
    leg = size.shank * up(tipped) + size.thigh * up(tipped - act.driving)
    return ankle, ankle + leg * np.sqrt(1 - (aside / np.linalg.norm(leg, axis=1, keepdims=True)) ** 2)


def _arms_ahead(act: Act, size: Build, hips: Array, trunk: Array, share: float) -> Array:
    """Wrists (N, 2): the arms rise as the body sinks."""
    sunk = np.clip(act.depth * 1.8, 0, 1)
    raised = 12 + (76 + act.unsteady.hip) * share * sunk
    shoulder = hips + size.trunk[:, None] * up(trunk)
    return shoulder - size.arm(act.zero + 14, 0.24)[:, None] * up(trunk - raised - trunk * sunk)
