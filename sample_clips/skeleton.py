"""The turn of every bone that takes a body into a posture. All arrays run over frames."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import LETTER, SIDES, Body
from sample_clips.posture import Posture
from sample_clips.turns import FORWARD, LATERAL, UPWARD, about, about_y, apply, from_rest, half_twist, unit

Array = NDArray[np.float64]
SPINE = {"spine05": 0.1, "spine04": 0.35, "spine03": 0.65, "spine02": 0.9, "spine01": 1.0}
"""Share of the back's bend that each vertebra bone has taken."""
NECK = {"neck01": 0.25, "neck02": 0.5, "neck03": 0.75, "head": 1.0}
CURL = {1: 65.0, 2: 140.0, 3: 190.0}
"""Turn of the three bones of a finger in a full grip, against the palm."""
SIGN = {"left": 1.0, "right": -1.0}
LONGEST = 0.9999


@dataclass(frozen=True)
class Pose:
    """Turn (N, B, 3, 3) of every bone from rest, and where each bone's head is (N, B, 3)."""

    rotations: Array
    heads: Array

    @property
    def roots(self) -> Array:
        """(N, 3) head of the root bone."""
        return self.heads[:, 0]


def reach(a: float, b: float, flexion: Array | float) -> Array:
    """Distance between the ends of two segments whose joint is bent by `flexion` degrees."""
    return np.sqrt(a * a + b * b + 2 * a * b * np.cos(np.radians(flexion)))


def shoulder_offset(body: Body, lumbar: Array, shrug: Array, protract: Array) -> Array:
    """Middle of the shoulders (N, 3) from the middle of the hips, the pelvis upright."""
    return (_shoulder(body, "left", lumbar, shrug, protract) + _shoulder(body, "right", lumbar, shrug, protract)) / 2


def shoulder_half_width(body: Body, lumbar: Array, shrug: Array, protract: Array) -> Array:
    """Distance (N,) of a shoulder's centre from the athlete's middle plane."""
    return _shoulder(body, "left", lumbar, shrug, protract)[:, 1]


def solve(body: Body, posture: Posture) -> Pose:
    """Turn every bone so that hips, hands and feet are where the posture wants them, as far as the limbs reach."""
    tip, twist = about(FORWARD, posture.side), about(UPWARD, -posture.twist)

    def turned(pitch: Array) -> Array:
        return tip @ about_y(pitch) @ twist

    offset = shoulder_offset(body, posture.lumbar, posture.shrug, posture.protract)
    pitch = posture.trunk - np.degrees(np.arctan2(offset[:, 0], offset[:, 2]))
    pelvis = turned(pitch)
    turn = {"root": pelvis, "pelvis.L": pelvis, "pelvis.R": pelvis}
    turn |= {name: turned(pitch + share * posture.lumbar) for name, share in SPINE.items()}
    turn |= {name: turned(pitch + posture.lumbar + share * posture.neck) for name, share in NECK.items()}
    turn |= {"eye.L": turn["head"], "eye.R": turn["head"]}
    root_at = posture.hip - apply(pelvis, _mid_hip(body))
    for side in SIDES:
        turn |= _collar(side, posture, turn["spine01"])
        turn |= _leg(body, side, posture, pelvis, tip)
        turn |= _arm(body, side, posture, pelvis, tip)
    rotations = np.stack([turn[name] for name in body.names], axis=1)
    return Pose(rotations, _heads(body, rotations, root_at))


def _collar(side: str, posture: Posture, thorax: Array) -> dict[str, Array]:
    turn = thorax @ _collar_turn(side, posture.shrug, posture.protract)
    return {f"{bone}.{LETTER[side]}": turn for bone in ("clavicle", "shoulder01")}


def _leg(body: Body, side: str, posture: Posture, pelvis: Array, tip: Array) -> dict[str, Array]:
    letter = LETTER[side]
    thigh_rest, shank_rest = _rest_links(body, f"upperleg01.{letter}", f"lowerleg01.{letter}", f"foot.{letter}")
    hip = posture.hip + apply(pelvis, body.head(f"upperleg01.{letter}") - body.head("root") - _mid_hip(body))
    toward = getattr(posture, f"ankle_{side}") - hip
    lengths = float(np.linalg.norm(thigh_rest)), float(np.linalg.norm(shank_rest))
    lateral = apply(tip, LATERAL)
    thigh, shank, hinge = _two_links(*lengths, toward, lateral, SIGN[side] * posture.knee_out)
    upper = from_rest(thigh, hinge, thigh_rest, LATERAL)
    lower = from_rest(shank, hinge, shank_rest, LATERAL)
    tip = tip @ about(FORWARD, SIGN[side] * posture.splay)
    foot = getattr(posture, f"foot_{side}")
    turns = {f"{bone}.{letter}": upper for bone in ("upperleg01", "upperleg02")}
    turns |= {f"{bone}.{letter}": lower for bone in ("lowerleg01", "lowerleg02")}
    turns |= {f"foot.{letter}": tip @ about_y(foot)}
    toes = tip @ about_y(foot + posture.toes)
    return turns | {name: toes for name in body.names if name.startswith("toe") and name.endswith(letter)}


def _arm(body: Body, side: str, posture: Posture, pelvis: Array, tip: Array) -> dict[str, Array]:
    letter = LETTER[side]
    upper_rest, fore_rest = _rest_links(body, f"upperarm01.{letter}", f"lowerarm01.{letter}", f"wrist.{letter}")
    offset = _shoulder(body, side, posture.lumbar, posture.shrug, posture.protract)
    toward = getattr(posture, f"wrist_{side}") - posture.hip - apply(pelvis, offset)
    lengths = float(np.linalg.norm(upper_rest)), float(np.linalg.norm(fore_rest))
    upper, fore, hinge = _two_links(*lengths, toward, apply(tip, -LATERAL), -SIGN[side] * posture.flare)
    hinge_rest = np.cross(upper_rest, fore_rest)
    fore_turn = from_rest(fore, hinge, fore_rest, hinge_rest)
    hand = _hand(body, side, posture, fore)
    axis = body.head(f"wrist.{letter}") - body.head(f"lowerarm02.{letter}")
    turns = {
        f"{bone}.{letter}": from_rest(upper, hinge, upper_rest, hinge_rest) for bone in ("upperarm01", "upperarm02")
    }
    turns |= {f"lowerarm01.{letter}": fore_turn, f"lowerarm02.{letter}": half_twist(fore_turn, hand, axis)}
    return turns | _fingers(body, side, posture, hand)


def _rest_links(body: Body, *joints: str) -> tuple[Array, Array]:
    first, middle, last = (body.head(joint) for joint in joints)
    return middle - first, last - middle


def _hand(body: Body, side: str, posture: Posture, fore: Array) -> Array:
    """Turn (N, 3, 3) of the hand from rest."""
    mirror, share = np.array([1.0, SIGN[side], 1.0]), posture.along[:, None]
    rest_fingers, rest_palm = _hand_rest(body, side)
    tip = about(FORWARD, posture.grip_side)
    fingers = unit(apply(tip, unit(posture.fingers * mirror)) * (1 - share) + fore * share)
    return from_rest(fingers, apply(tip, posture.palm * mirror), rest_fingers, rest_palm)


def _hand_rest(body: Body, side: str) -> tuple[Array, Array]:
    """Where the fingers (3,) point at rest, and the palm (3,)."""
    letter = LETTER[side]
    wrist = body.head(f"wrist.{letter}")
    across = np.cross(body.head(f"finger2-1.{letter}") - wrist, body.head(f"finger5-1.{letter}") - wrist)
    return body.head(f"finger3-1.{letter}") - wrist, -SIGN[side] * across


def _fingers(body: Body, side: str, posture: Posture, hand: Array) -> dict[str, Array]:
    letter = LETTER[side]
    axis = unit(np.cross(*_hand_rest(body, side)))
    turns = {}
    for name in body.names:
        if not name.endswith(letter) or not name.startswith(("wrist", "finger", "metacarpal")):
            continue
        angle = np.zeros(len(posture))
        if name.startswith("finger"):
            finger, joint = int(name[6]), int(name[8])
            angle = posture.curl * CURL[joint] * (0.35 if finger == 1 else 1.0)
        turns[name] = hand @ about(axis, angle)
    return turns


def _two_links(a: float, b: float, toward: Array, hinge: Array, spin: Array) -> tuple[Array, Array, Array]:
    """Directions of the upper and the lower link and the hinge axis (N, 3), the ends `toward` apart."""
    distance = np.clip(np.linalg.norm(toward, axis=1), abs(a - b) + 1e-3, (a + b) * LONGEST)
    along = unit(toward)
    axis = unit(hinge - along * np.sum(along * hinge, axis=1, keepdims=True))
    pole = np.cross(along, axis)
    spin_cos, spin_sin = np.cos(np.radians(spin))[:, None], np.sin(np.radians(spin))[:, None]
    pole = pole * spin_cos + axis * spin_sin
    cos_a = np.clip((a * a + distance**2 - b * b) / (2 * a * distance), -1, 1)
    upper = along * cos_a[:, None] + pole * np.sqrt(1 - cos_a**2)[:, None]
    lower = (along * distance[:, None] - a * upper) / b
    return upper, unit(lower), np.cross(pole, along)


def _collar_turn(side: str, shrug: Array, protract: Array) -> Array:
    sign = SIGN[side]
    return about(UPWARD, -sign * protract) @ about(FORWARD, sign * shrug)


def _shoulder(body: Body, side: str, lumbar: Array, shrug: Array, protract: Array) -> Array:
    """Centre of one shoulder (N, 3) from the middle of the hips, the pelvis upright."""
    letter = LETTER[side]
    chain = ["root", *SPINE, f"clavicle.{letter}", f"upperarm01.{letter}"]
    at = np.tile(-_mid_hip(body), (len(lumbar), 1))
    turn = about_y(0 * lumbar)
    for parent, child in pairwise(chain):
        if parent in SPINE:
            turn = about_y(SPINE[parent] * lumbar)
        if parent.startswith("clavicle"):
            turn = about_y(lumbar) @ _collar_turn(side, shrug, protract)
        at = at + apply(turn, body.head(child) - body.head(parent))
    return at


def _mid_hip(body: Body) -> Array:
    """Middle of the hips at rest (3,) from the root's head."""
    return (body.head("upperleg01.L") + body.head("upperleg01.R")) / 2 - body.head("root")


def _heads(body: Body, rotations: Array, root_at: Array) -> Array:
    heads = np.empty((len(rotations), len(body.names), 3))
    heads[:, 0] = root_at
    for bone, parent in enumerate(body.parents):
        if parent >= 0:
            heads[:, bone] = heads[:, parent] + apply(rotations[:, parent], body.heads[bone] - body.heads[parent])
    return heads
