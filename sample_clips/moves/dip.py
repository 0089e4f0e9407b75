"""Dip: between parallel bars, or on rings."""

import numpy as np

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import hung, up
from sample_clips.moves.plan import ON_BAR, Act, Placed


def dip(act: Act) -> Placed:
    """Place: `bar_height`, `hand_half_width`, `knee` and `hip` bend, `lean` at the bottom, `rings`, `step`."""
    usual = {"bar_height": 1.25, "hand_half_width": 0.26, "knee": 70.0, "hip": 12.0, "lean": 26.0}
    place, depth, zero = act.place(**usual, rings=0.0, step=0.0), act.depth, act.zero
    size = act.build(4, -6 + 12 * depth, 6)
    arm = size.arm(act.driving, place["hand_half_width"])
    wrist = np.stack([zero, zero + place["bar_height"] + ON_BAR], -1)
    shoulder = wrist + hung(arm, 0.03 + 0.13 * depth + act.unsteady.shift[:, 0])
    trunk = 5 + (place["lean"] - 5) * depth + act.unsteady.lean
    hips = shoulder - size.trunk[:, None] * up(trunk)
    thigh = trunk - place["hip"] - act.unsteady.hip
    shank = thigh + place["knee"]
    ankle = hips - size.thigh * up(thigh) - size.shank * up(shank)
    main = act.pose(
        size, hips, trunk, (wrist, place["hand_half_width"]), (ankle, 0.06), flare=act.exercise.flare,
        neck=-10 - 0.3 * trunk, palm=(0.0, -0.35, -1.0), fingers=(0.75, 0, -0.65), curl=0.8,
        foot_left=shank + 30, foot_right=shank + 34,
    )  # fmt: skip
    held = () if place["rings"] else props.parallel_bars(place["hand_half_width"], place["bar_height"])
    return Placed(main, (*held, *props.step(place)), ready.feet_swing(main), stand=-0.05)
