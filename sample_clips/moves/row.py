"""Row: a straight body under a bar or straps."""

import numpy as np

from sample_clips.moves import props, ready
from sample_clips.moves.geometry import crossing, deep, hang_body, span, up
from sample_clips.moves.plan import GRIP, Act, Placed


def row(act: Act) -> Placed:
    """Turning about the heels, or about the knees over feet that stand flat.

    Place: `body_angle` at straight arms, `foot_height`, `hand_half_width`, `straps` (1: two straps from above),
    `bent_knees` (1: knees over the feet).
    """
    place = act.place(body_angle=40.0, foot_height=0.0, hand_half_width=0.26, straps=0.0, knee=4.0, bent_knees=0.0)
    depth, zero, sag = act.depth, act.zero, act.exercise.sag
    size = act.build(-3, 2, 14 - 30 * depth)
    hip = act.unsteady.hip - sag * (1 - 0.7 * depth)
    pitch = place["body_angle"] - 90.0
    sole = np.array([0.0, place["foot_height"] + act.body.sole + 0.012])
    if place["bent_knees"]:
        leg, foot = size.thigh + zero, 0.0
        pivot = sole + np.array([0.0, size.shank])
    else:
        leg, foot, pivot = size.leg(place["knee"]) + zero, pitch * 0.55, sole
    arm = size.arm(act.driving, place["hand_half_width"])
    straight = act.build(-3, 2, 14)
    shoulder_at = pivot + span(leg[:1], straight.trunk[:1], zero[:1] - sag)[:, None] * up(pitch)
    hang = straight.arm(zero[:1] + act.exercise.straight, place["hand_half_width"])
    wrist = shoulder_at + hang[:, None] * up(place["body_angle"] * 0.55) + zero[:, None]
    moved = act.unsteady.shift[:, [0, 2]] * [1.0, 0.2]
    shoulder = crossing(pivot + moved, span(leg, size.trunk, hip), wrist, arm, left=True)
    hips, trunk = hang_body(pivot + moved, shoulder, leg, size.trunk, hip)
    grip = wrist[0] + GRIP * up(place["body_angle"] * 0.45)[0]
    main = act.pose(
        size, hips, trunk, (wrist, place["hand_half_width"]), (sole + moved, 0.08), flare=act.exercise.flare,
        neck=4 + 8 * depth, palm=(1.0, 0, -0.4), fingers=deep(up(place["body_angle"] * 0.45))[0], along=0.4, curl=1.0,
        foot_left=foot, foot_right=foot,
    )  # fmt: skip
    held = props.straps(grip, place["hand_half_width"]) if place["straps"] else props.low_bar(grip)
    heel = props.block(float((sole + moved)[0, 0]) + 0.06, place["foot_height"], 0.42, 0.6)
    return Placed(main, (*held, *heel), ready.sat_back(main), bar=(float(grip[0]), float(grip[1])))
