"""Getting ready: what a body does just before, as a change of the movement's first posture (one row each)."""

import numpy as np

from sample_clips.moves.geometry import deep, up
from sample_clips.moves.plan import Build
from sample_clips.posture import Posture, first, shifted

KNEELING = 0.06
"""Height of the knee's centre above the floor it kneels on, metres."""


def sat_back(main: Posture) -> Posture:
    """Arms straight, hips dropped, before the body is straightened."""
    return shifted(first(main), hip=[0.05, 0.0, -0.16], trunk=16, neck=12)


def feet_swing(main: Posture) -> Posture:
    """Legs a little ahead, before the body hangs quiet."""
    ankles = {"ankle_left": [0.16, 0.0, 0.05], "ankle_right": [0.10, 0.0, 0.03]}
    return shifted(first(main), hip=[0.03, 0.0, 0.0], trunk=-4, **ankles)


def weight_on_one_leg(main: Posture) -> Posture:
    """Standing at ease, a foot a little back."""
    return shifted(first(main), hip=[-0.03, 0.03, -0.008], ankle_right=[-0.16, -0.03, 0.0], trunk=2)


def one_leg_off(main: Posture) -> Posture:
    """Upside down, one leg still on its way up: bent and behind, the back arched."""
    ankles = {"ankle_left": [-0.22, 0.0, -0.16], "ankle_right": [-0.34, 0.0, -0.30]}
    return shifted(first(main), hip=[0.02, 0.0, -0.01], trunk=3, **ankles)


def hips_low(main: Posture, drop: float) -> Posture:
    """Not yet level: hips low, head up."""
    ankles = {f"ankle_{side}": [0.0, 0.0, 1.8 * drop] for side in ("left", "right")}
    start = first(main)
    return shifted(start, hip=[0.0, 0.0, drop], trunk=-12 * np.sign(start.trunk), neck=10, **ankles)


def feet_low(main: Posture) -> Posture:
    """Feet still low, before the legs are lifted level."""
    return shifted(first(main), ankle_left=[-0.20, 0.0, -0.10], ankle_right=[-0.12, 0.0, -0.07], trunk=-3)


def kneeling(main: Posture, size: Build) -> Posture:
    """Shoulders where they will be, hips as high as a thigh over the floor, knees under them."""
    start = first(main)
    shoulder = start.hip[:, [0, 2]] + size.trunk[0] * up(start.trunk)
    rise = np.clip((shoulder[:, 1] - size.thigh - KNEELING) / size.trunk[0], -1, 1)
    trunk = np.degrees(np.arccos(rise))
    hips = shoulder - size.trunk[0] * up(trunk)
    step = float(hips[0, 0] - 0.9 * size.shank - start.ankle_left[0, 0])
    ankles = {f"ankle_{side}": [step, 0.0, 0.0] for side in ("left", "right")}
    return shifted(start, hip=deep(hips) - start.hip, trunk=trunk - start.trunk, **ankles)


def on_all_fours(main: Posture, size: Build, *, raised: bool, on_knees: bool = False) -> Posture:
    """Hands and shoulders where they will be, hips over bent knees; with the hands `raised` a step closer instead."""
    start = first(main)
    shoulder = start.hip[:, [0, 2]] + size.trunk[0] * up(start.trunk)
    trunk = start.trunk - 6 if raised else np.maximum(start.trunk + 4, 84.0)
    hips = shoulder - size.trunk[0] * up(trunk)
    step = 0.16 if raised else 0.0 if on_knees else hips[0, 0] - 0.9 * size.shank - start.ankle_left[0, 0]
    ankles = {f"ankle_{side}": [step, 0.0, 0.0] for side in ("left", "right")}
    return shifted(start, hip=deep(hips) - start.hip, trunk=trunk - start.trunk, **ankles)
