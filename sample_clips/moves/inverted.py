"""Handstand and handstand push-up: the hands stay on the floor, the feet are above."""

import numpy as np

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import Array, hang_body, hung, span, up
from sample_clips.moves.plan import Act, Placed
from sample_clips.posture import Posture

WRIST = 0.05
"""Height of the wrist's centre above the floor, the palm flat (an adult's hand), metres."""
HEEL = 0.075
"""From the ankle's centre to a wall that the heel touches."""


def handstand_push_up(act: Act) -> Placed:
    """Heels on a wall behind the back, or free (`wall` 0). Place: `wall` (from the wrists), `hand_half_width`, `ahead`."""
    place, depth, zero = act.place(wall=0.36, hand_half_width=0.30, ahead=0.07), act.depth, act.zero
    size = act.build(-6, 26 - 24 * depth, 0)
    arm = size.arm(act.driving, place["hand_half_width"])
    wrist = np.stack([zero, zero + WRIST], -1)
    ahead = -0.01 + place["ahead"] * depth + 0.5 * act.unsteady.shift[:, 0]
    shoulder = wrist + hung(arm, ahead)
    hip = act.unsteady.hip - act.exercise.sag
    leg = size.leg(4.0) + zero
    whole = span(leg, size.trunk, hip)
    across = (place["wall"] - HEEL if place["wall"] else 0.03 - 0.5 * ahead) - shoulder[:, 0]
    ankle = shoulder + np.stack([across, np.sqrt(whole**2 - across**2)], -1)
    hips, trunk = hang_body(ankle, shoulder, leg, size.trunk, hip)
    foot = {"foot_left": 176, "foot_right": 180} if place["wall"] else {"foot_left": 215, "foot_right": 215}
    main = act.pose(
        size, hips, trunk, (wrist, place["hand_half_width"]), (ankle, 0.07), flare=act.exercise.flare,
        neck=-22 + 6 * depth, fingers=(1, 0.15, 0), curl=0.05, **foot,
    )  # fmt: skip
    held = props.wall(place["wall"]) if place["wall"] else ()
    return Placed(main, held, ready.one_leg_off(main), stand=-0.5, palms=0.0)


def handstand(act: Act) -> Placed:
    """A rod above the hands with small turns at hips and shoulders, free or with the heels on a wall.

    Place: `lean`, `straddle` (half width of the ankles), `arch`, `tuck` (1: hips and knees bent), `wall` (from the
    wrists; 0 free).
    """
    place = act.place(lean=1.0, hand_half_width=0.23, straddle=0.07, arch=6.0, tuck=0.0, wall=0.0)
    size = act.build(-4, 28, 0)
    arm = size.arm(act.exercise.straight + act.zero, place["hand_half_width"])
    wrist = np.array([0.0, WRIST])
    hip = act.unsteady.hip - place["arch"] + 105 * place["tuck"]
    leg = size.leg(3.0 + 112 * place["tuck"]) + act.zero
    foot = 218 if not place["wall"] else 178

    def make(tilt: Array) -> Posture:
        shoulder = wrist + arm[:, None] * up(tilt)
        opening = place["lean"] + act.unsteady.lean + act.exercise.drift * act.depth
        if place["tuck"]:
            trunk = tilt + opening + 180
            hips = shoulder - size.trunk[:, None] * up(trunk)
            thigh = trunk - hip
            ankle = hips - size.thigh * up(thigh) - size.shank * up(thigh + 115)
        else:
            ankle = shoulder + span(leg, size.trunk, hip)[:, None] * up(tilt + opening)
            hips, trunk = hang_body(ankle, shoulder, leg, size.trunk, hip)
        return act.pose(
            size, hips, trunk, (wrist + 0 * hips, place["hand_half_width"]), (ankle, place["straddle"]), flare=10,
            neck=-28, fingers=(1, 0.1, 0), curl=0.05, foot_left=foot, foot_right=foot,
            splay=-60 * max(place["straddle"] - 0.1, 0.0),
        )  # fmt: skip

    over = place["wall"] * 0.25 if place["wall"] else 0.055
    main = make(act.balance(make, over + act.unsteady.shift[:, 0], act.zero))
    held = props.wall(place["wall"]) if place["wall"] else ()
    return Placed(main, held, ready.one_leg_off(main), stand=-0.5, palms=0.0)
