"""Plank: a straight body on forearms, or on straight arms, and the toes."""

import numpy as np

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import hang_body, span
from sample_clips.moves.plan import Act, Placed
from sample_clips.moves.push_up import PALM, on_toes
from sample_clips.posture import Values

ELBOW_CENTRE = 0.05
"""Height of the elbow's centre when the forearm lies on the floor."""


def plank(act: Act) -> Placed:
    """Place: `straight_arms` (1: on the hands), `foot_height`, `elbow_ahead` of the shoulders, `hand_half_width`."""
    place = act.place(straight_arms=0.0, foot_height=0.0, elbow_ahead=0.01, hand_half_width=0.17)
    zero, drift = act.zero, act.exercise.drift * act.depth
    size = act.build(-2, 0, 14)
    hip = act.unsteady.hip - act.exercise.sag + drift
    leg = size.leg(3.0) + zero
    rocking = act.unsteady.shift[:, [0, 2]] * [1.0, 0.2]
    ankle = on_toes(act, place["foot_height"]) + rocking
    if place["straight_arms"]:
        arm, low, ahead = size.arm(zero + act.exercise.straight, place["hand_half_width"]), PALM, 0.0
    else:
        arm, low, ahead = size.upper_arm + zero, ELBOW_CENTRE, size.forearm
    rise = low + arm - on_toes(act, place["foot_height"])[:, 1]
    level = np.sqrt(span(leg, size.trunk, hip) ** 2 - rise**2)
    shoulder = ankle + np.stack([level, rise], -1)
    wrist = np.stack([zero + level[0] + ahead + place["elbow_ahead"], zero + low], -1)
    hips, trunk = hang_body(ankle, shoulder, leg, size.trunk, hip)
    fist: Values = {} if place["straight_arms"] else {"palm": (0.0, -1.0, -0.15), "curl": 0.8}
    main = act.pose(
        size, hips, trunk, (wrist, place["hand_half_width"]), (ankle, 0.09), flare=2, foot_left=68, foot_right=68,
        toes=-55, neck=-12, **fist,
    )  # fmt: skip
    box = props.block(float(ankle[0, 0]) + 0.02, place["foot_height"], 0.4, 0.7)
    start = ready.kneeling(main, size)
    return Placed(main, box, start)
