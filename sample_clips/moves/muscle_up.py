"""Muscle-up: from the hang over the bar, or between rings, to the support."""

import numpy as np
from scipy.interpolate import PchipInterpolator

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import Array, deep, up
from sample_clips.moves.plan import GRIP, ON_BAR, Act, Placed

STATIONS = np.array([0.0, 0.25, 0.45, 0.58, 0.72, 0.86, 1.0])
"""Depths at which the way is given: hang, half pulled, chest at the bar, turning over, deep dip, half pressed, support."""
BAR = {
    "ahead": [-0.03, -0.40, -0.52, -0.30, 0.06, 0.12, 0.06],
    "above": [-1.00, -0.62, -0.14, 0.14, 0.32, 0.68, 1.00],
    "trunk": [-2.0, -20.0, -30.0, 10.0, 38.0, 24.0, 8.0],
    "hip": [6.0, 10.0, 20.0, 38.0, 30.0, 16.0, 6.0],
    "round": [0.0, 0.0, 0.2, 0.6, 0.95, 1.0, 1.0],
}
"""Shoulders against the grip in lengths of the straight arm; pitch of the trunk and bend of the hips in degrees; how far
the hand has turned round the bar."""
RINGS = BAR | {
    "ahead": [-0.03, -0.26, -0.34, -0.14, 0.12, 0.14, 0.04],
    "trunk": [-2.0, -14.0, -22.0, 6.0, 28.0, 18.0, 4.0],
}


def muscle_up(act: Act) -> Placed:
    """Place: `bar_height`, `rings`, `hand_half_width`, `knee` bend. `straight` is the elbow at both ends."""
    rings = bool(act.exercise.place.get("rings"))
    place = act.place(bar_height=2.3, hand_half_width=0.2 if rings else 0.27, knee=14.0)
    depth = np.clip(act.depth, 0, 1)
    way = {name: PchipInterpolator(STATIONS, values)(depth) for name, values in (RINGS if rings else BAR).items()}
    size = act.build(4 * np.sin(np.pi * depth), 26 - 34 * np.clip(depth / 0.6, 0, 1), 4)
    arm = size.arm(act.exercise.straight + act.zero, place["hand_half_width"])
    grip = np.array([0.0, place["bar_height"]])
    turned = 180 * way["round"]
    radius = GRIP + (ON_BAR - GRIP) * way["round"]
    wrist = grip - radius[:, None] * up(turned)
    reach = np.stack([way["ahead"], way["above"]], -1)
    shoulder = grip + _around(arm, wrist - grip, reach, size.upper_arm + size.forearm)
    shoulder = shoulder + act.unsteady.shift[:, [0, 2]] * (np.sin(np.pi * depth) ** 2)[:, None]
    trunk = way["trunk"] + act.unsteady.lean
    hips = shoulder - size.trunk[:, None] * up(trunk)
    thigh = trunk - way["hip"] - act.unsteady.hip
    shank = thigh + place["knee"]
    ankle = hips - size.thigh * up(thigh) - size.shank * up(shank)
    points = turned * 0.7
    main = act.pose(
        size, hips, trunk, (wrist, place["hand_half_width"]), (ankle, 0.07), flare=act.exercise.flare * 0.6,
        neck=-14 + 6 * depth, fingers=deep(up(points)), palm=deep(up(points + 90)), along=0.3 * (1 - way["round"]),
        curl=1.0, foot_left=shank + 35, foot_right=shank + 35,
    )  # fmt: skip
    bar = None if rings else (0.0, place["bar_height"])
    held = props.high_bar(*bar) if bar else ()
    return Placed(main, held, ready.feet_swing(main), stand=-0.05, bar=bar)


def _around(arm: Array, wrist: Array, reach: Array, longest: float) -> Array:
    """Shoulders (N, 2) against the grip: the hand's own place counts at the two ends, where the arm is straight."""
    share = np.linalg.norm(reach, axis=1, keepdims=True)
    return wrist * share**2 + reach * arm[:, None] + 0 * longest
