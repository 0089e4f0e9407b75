"""Pull-up and chin-up: hanging from a bar or rings."""

import numpy as np

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import hung, up
from sample_clips.moves.plan import GRIP, Act, Array, Placed

OVER, UNDER = (1.0, 0, 0.1), (-1.0, 0, 0.1)
"""Where the palms look: away from the face, or toward it."""


def pull_up(act: Act) -> Placed:
    """Place: `bar_height`, `hand_half_width`, `knee` and `hip` bend, `step` (height of a box to climb on, 0 none),
    `kip` (degrees by which the legs kick on the way), `rings`.
    """
    return _pull(act, act.place(hand_half_width=0.28), OVER, outward=15.0)


def chin_up(act: Act) -> Placed:
    """The same with the palms toward the face, closer, the elbows ahead."""
    return _pull(act, act.place(hand_half_width=0.19), UNDER, outward=-12.0)


def _pull(act: Act, place: dict[str, float], palm: tuple[float, float, float], outward: float) -> Placed:
    usual = {"bar_height": 2.35, "knee": 25.0, "step": 0.0, "hip": 8.0, "kip": 0.0, "rings": 0.0}
    place, depth, zero = usual | place, act.depth, act.zero
    size = act.build(-6 * depth, 26 - 24 * depth, 0)
    arm = size.arm(act.driving, place["hand_half_width"])
    wrist = np.stack([zero, zero + place["bar_height"] - GRIP], -1)
    behind = np.minimum(0.03 + 0.15 * depth, 0.7 * arm) + act.unsteady.shift[:, 0]
    kick = place["kip"] * _kick(depth)
    shoulder = wrist - hung(arm, behind)
    trunk = -2 - 16 * depth + act.unsteady.lean - 0.35 * kick
    hips = shoulder - size.trunk[:, None] * up(trunk)
    thigh = trunk - place["hip"] - act.unsteady.hip - 6 * depth - kick
    shank = thigh + place["knee"]
    ankle = hips - size.thigh * up(thigh) - size.shank * up(shank)
    main = act.pose(
        size, hips, trunk, (wrist, place["hand_half_width"]), (ankle, 0.07),
        flare=act.exercise.flare + outward, neck=-14 - 4 * depth, palm=palm, fingers=(0.05, 0, 1.0), along=0.35,
        curl=1.0, foot_left=shank + 35, foot_right=shank + 35,
    )  # fmt: skip
    bar = None if place["rings"] else (0.03, place["bar_height"])
    held = props.high_bar(*bar) if bar else ()
    return Placed(main, (*held, *props.step(place)), ready.feet_swing(main), stand=-0.03, bar=bar)


def _kick(depth: Array) -> Array:
    """Legs behind at the bottom, ahead half way up, straight at the top."""
    return 1.3 * np.sin(np.pi * np.clip(depth, 0, 1)) ** 2 - 0.5 * (1 - np.clip(2.2 * depth, 0, 1)) ** 2
