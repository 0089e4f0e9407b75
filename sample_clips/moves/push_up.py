"""Push-up and pike push-up: hands and feet stay."""

import numpy as np

from sample_clips.body import Body
from sample_clips.moves import props, ready
from sample_clips.moves.geometry import Array, crossing, hang_body, hung, pitch_of, span
from sample_clips.moves.plan import ON_BAR, Act, Placed
from sample_clips.posture import Values, first, repeat, shifted

ON_TOES = 68.0
PALM = 0.045
"""Height of the wrist's centre over what the flat hand presses on."""
KNEE_CENTRE = 0.055
"""Height of the knee's centre above the floor it kneels on."""


def push_up(act: Act) -> Placed:
    """Shoulders where the circle about the ankle (or the knee) crosses the circle about the hand.

    Place: `hand_height`, `foot_height` of a box in metres, `hand_half_width`, `hands_behind` the shoulders at the top,
    `knees` (1: on the knees), `rings` (1: hands in rings that hang `hand_height` above the floor).
    """
    usual = {"hand_height": 0.0, "foot_height": 0.0, "hand_half_width": 0.27, "hands_behind": 0.06}
    place, depth, zero = act.place(**usual, knees=0.0, rings=0.0), act.depth, act.zero
    size = act.build(-4, 0, 12 - 14 * depth)
    hip = act.unsteady.hip - act.exercise.sag * (0.4 + 0.6 * depth)
    leg = size.thigh + zero if place["knees"] else size.leg(3.0) + zero
    low = KNEE_CENTRE if place["knees"] else ankle_on_toes(act.body)
    pivot = np.stack([zero, zero + place["foot_height"] + low], -1)
    arm = size.arm(act.driving, place["hand_half_width"])
    wrist_height = place["hand_height"] + (ON_BAR if place["rings"] else PALM)
    hang = act.build(-4, 0, 12).arm(zero[:1] + act.exercise.straight, place["hand_half_width"])
    whole = span(leg[:1], size.trunk[:1], -0.4 * act.exercise.sag)
    level = np.sqrt(whole**2 - (wrist_height + hang - pivot[0, 1]) ** 2)
    wrist = np.stack([zero + level - place["hands_behind"], zero + wrist_height], -1)
    pivot = pivot + act.unsteady.shift[:, [0, 2]] * [1.0, 0.3]
    shoulder = crossing(pivot, span(leg, size.trunk, hip), wrist, arm, left=True)
    hips, trunk = hang_body(pivot, shoulder, leg, size.trunk, hip)
    ankle = pivot + size.shank * np.array([-0.96, 0.28]) if place["knees"] else pivot
    feet: Values = (
        {"foot_left": 150, "foot_right": 154} if place["knees"] else {"foot_left": ON_TOES, "foot_right": ON_TOES}
    )
    grip: Values = {"curl": 0.8, "palm": (0.0, -0.35, -1.0), "fingers": (0.75, 0, -0.65)} if place["rings"] else {}
    main = act.pose(
        size, hips, trunk, (wrist, place["hand_half_width"]), (ankle, 0.09), flare=act.exercise.flare,
        toes=0 if place["knees"] else -55, neck=-18 + 6 * depth, **feet, **grip,
    )  # fmt: skip
    raised = place["hand_height"] >= 0.2
    start = ready.on_all_fours(main, size, raised=raised, on_knees=bool(place["knees"]))
    held = () if place["rings"] else props.block(float(wrist[0, 0]) + 0.14, place["hand_height"], 0.5, 1.1)
    box = props.block(float(pivot[0, 0]) + 0.02, place["foot_height"], 0.4, 0.7)
    back = repeat(start, len(depth)) if act.exercise.lowering_only else None
    palms = None if place["rings"] else place["hand_height"]
    return Placed(main, (*held, *box), start, stand=float(wrist[0, 0]) - 0.3, back=back, palms=palms)


def pike_push_up(act: Act) -> Placed:
    """Hips high over straight legs; the shoulders sink ahead of the hands.

    Place: `foot_height` of a box, `hand_half_width`, `hip` bend at the top, `ahead` of the hands at the bottom.
    """
    place = act.place(foot_height=0.0, hand_half_width=0.27, hip=104.0, behind=0.17, ahead=0.05)
    depth, zero = act.depth, act.zero
    size = act.build(-2 + 6 * depth, 24 - 22 * depth, 0)
    arm = size.arm(act.driving, place["hand_half_width"])
    leg = size.leg(4.0) + zero
    ankle = on_toes(act, place["foot_height"])
    top = act.build(-2, 24, 0)
    hang = top.arm(zero[:1] + act.exercise.straight, place["hand_half_width"])
    rise = PALM + hung(hang, zero[:1] - place["behind"])[0, 1] - ankle[0, 1]
    across = np.sqrt(span(leg[:1], top.trunk[:1], place["hip"]) ** 2 - rise**2)
    wrist = np.stack([zero + across + place["behind"], zero + PALM], -1)
    shift = -place["behind"] + (place["behind"] + place["ahead"]) * depth + act.unsteady.shift[:, 0]
    shoulder = wrist + hung(arm, shift)
    hips = crossing(ankle, leg, shoulder, size.trunk, left=True)
    main = act.pose(
        size, hips, pitch_of(shoulder - hips), (wrist, place["hand_half_width"]), (ankle, 0.1),
        flare=act.exercise.flare, neck=-6 - 10 * depth, foot_left=ON_TOES - 10, foot_right=ON_TOES - 10, toes=-45,
    )  # fmt: skip
    start = shifted(first(main), hip=[-0.04, 0.0, -0.10], trunk=-5)
    box = props.block(float(ankle[0, 0]) + 0.02, place["foot_height"], 0.4, 0.7)
    back = repeat(start, len(depth)) if act.exercise.lowering_only else None
    return Placed(main, box, start, stand=float(wrist[0, 0]) - 0.3, back=back, palms=0.0)


def ankle_on_toes(body: Body) -> float:
    """Height of the ankle's centre when the ball of the foot bears the body."""
    ball = body.head("toe2-1.L") - body.head("foot.L")
    pitch = np.radians(ON_TOES)
    ball_clearance = body.head("toe2-1.L")[2] - body.vertices[:, 2].min()
    return float(np.sin(pitch) * ball[0] - np.cos(pitch) * ball[2] + ball_clearance)


def on_toes(act: Act, foot_height: float = 0.0) -> Array:
    """Ankles (N, 2) at x = 0 when the balls of the feet bear the body."""
    return np.stack([act.zero, act.zero + foot_height + ankle_on_toes(act.body)], -1)
