"""L-sit: seated in the air between the hands, legs level ahead."""

import numpy as np

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import Array, up
from sample_clips.moves.levers import LEGS, lever
from sample_clips.moves.plan import ON_BAR, Act, Placed
from sample_clips.posture import Posture, Values


def l_sit(act: Act) -> Placed:
    """Place: `bar_height` of parallettes, `rings`, and the legs' measures (`sample_clips.moves.levers`)."""
    usual = LEGS | {"bar_height": 0.34, "hand_half_width": 0.24, "hip": 101.0, "knee": 4.0}
    place = act.place(**usual, rings=0.0)
    size = act.build(14, -9, 4)
    arm = size.arm(act.exercise.straight + act.zero, place["hand_half_width"])
    wrist = np.array([0.0, place["bar_height"] + ON_BAR])
    shoulder = wrist + arm[:, None] * up(act.zero - 6)

    def make(trunk: Array) -> Posture:
        grip: Values = {"palm": (0, -0.5, -1), "fingers": (0.75, 0, -0.65), "curl": 0.8}
        return lever(act, size, place, shoulder, trunk, wrist, **grip, neck=4.0)

    trunk = act.balance(make, 0.02 + act.unsteady.shift[:, 0], act.zero + 10)
    main = make(trunk + act.exercise.drift * act.depth)
    held = () if place["rings"] else props.parallettes(place["hand_half_width"], place["bar_height"])
    return Placed(main, held, ready.feet_low(main), stand=-0.3)
