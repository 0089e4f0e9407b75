"""A posture told by where the hips, hands and feet are, and the turn of every bone that takes a body there.

All arrays run over frames. Canonical axes (`sample_clips.body`); pitch is a turn about Y in degrees, 0 upright, 90
with the upper end forward.
"""

from dataclasses import dataclass, fields, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from sample_clips.body import LETTER, SIDES, Body

Array = NDArray[np.float64]
LATERAL = np.array([0.0, 1.0, 0.0])
FORWARD = np.array([1.0, 0.0, 0.0])
UPWARD = np.array([0.0, 0.0, 1.0])
SPINE = {"spine05": 0.1, "spine04": 0.35, "spine03": 0.65, "spine02": 0.9, "spine01": 1.0}
"""Share of the back's bend that each vertebra bone has taken."""
NECK = {"neck01": 0.25, "neck02": 0.5, "neck03": 0.75, "head": 1.0}
CURL = {1: 65.0, 2: 140.0, 3: 190.0}
"""Turn of the three bones of a finger in a full grip, against the palm."""
SIGN = {"left": 1.0, "right": -1.0}
LONGEST = 0.9999


@dataclass(frozen=True)
class Posture:
    """Targets of a posture, one row per frame: points (N, 3), angles and shares (N,).

    `trunk` is the pitch of the line from the hips to the shoulders; `lumbar` bends the back; `shrug` and `protract`
    turn the collar bones; `flare` turns the elbows outward about the line from shoulder to hand, `knee_out` the
    knees; `palm` and `fingers` are the left hand's directions, the right's mirrored; `along` lets the fingers follow
    the forearm; feet are pitched from flat; `neck` tips the head against the trunk.
    """

    hip: Array
    wrist_left: Array
    wrist_right: Array
    ankle_left: Array
    ankle_right: Array
    palm: Array
    fingers: Array
    trunk: Array
    lumbar: Array
    shrug: Array
    protract: Array
    flare: Array
    knee_out: Array
    foot_left: Array
    foot_right: Array
    toes: Array
    neck: Array
    curl: Array
    along: Array

    def __len__(self) -> int:
        return len(self.trunk)


@dataclass(frozen=True)
class Pose:
    """Turn (N, B, 3, 3) of every bone from rest, and where each bone's head is (N, B, 3)."""

    rotations: Array
    heads: Array

    @property
    def roots(self) -> Array:
        """(N, 3) head of the root bone."""
        return self.heads[:, 0]


def repeat(posture: Posture, count: int) -> Posture:
    """The same one-row posture for `count` frames."""
    return Posture(**{f.name: np.repeat(getattr(posture, f.name), count, axis=0) for f in fields(Posture)})


def mix(first: Posture, second: Posture, share: Array, limbs: dict[str, Array] | None = None) -> Posture:
    """Between two postures: (1 - share) of the first. `limbs` gives fields that move at another time their own share."""
    values = {}
    for f in fields(Posture):
        a, b = getattr(first, f.name), getattr(second, f.name)
        w = share if limbs is None else limbs.get(f.name, share)
        values[f.name] = a + (b - a) * (w[:, None] if a.ndim == 2 else w)
    return Posture(**values)


def shifted(posture: Posture, **changes: Array) -> Posture:
    """The posture with some fields changed by the given amounts."""
    return replace(posture, **{name: getattr(posture, name) + change for name, change in changes.items()})


def about_y(pitch: Array) -> Array:
    """Rotation matrices (..., 3, 3) for pitch in degrees."""
    return _turn(LATERAL, pitch)


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
    offset = shoulder_offset(body, posture.lumbar, posture.shrug, posture.protract)
    pitch = posture.trunk - np.degrees(np.arctan2(offset[:, 0], offset[:, 2]))
    pelvis = about_y(pitch)
    turn = {"root": pelvis, "pelvis.L": pelvis, "pelvis.R": pelvis}
    turn |= {name: about_y(pitch + share * posture.lumbar) for name, share in SPINE.items()}
    turn |= {name: about_y(pitch + posture.lumbar + share * posture.neck) for name, share in NECK.items()}
    turn |= {"eye.L": turn["head"], "eye.R": turn["head"]}
    root_at = posture.hip - _apply(pelvis, _mid_hip(body))
    for side in SIDES:
        turn |= _collar(side, posture, turn["spine01"])
        turn |= _leg(body, side, posture, pelvis)
        turn |= _arm(body, side, posture, pelvis)
    rotations = np.stack([turn[name] for name in body.names], axis=1)
    return Pose(rotations, _heads(body, rotations, root_at))


def _collar(side: str, posture: Posture, thorax: Array) -> dict[str, Array]:
    turn = thorax @ _collar_turn(side, posture.shrug, posture.protract)
    return {f"{bone}.{LETTER[side]}": turn for bone in ("clavicle", "shoulder01")}


def _leg(body: Body, side: str, posture: Posture, pelvis: Array) -> dict[str, Array]:
    letter = LETTER[side]
    thigh_rest, shank_rest = _rest_links(body, f"upperleg01.{letter}", f"lowerleg01.{letter}", f"foot.{letter}")
    hip = posture.hip + _apply(pelvis, body.head(f"upperleg01.{letter}") - body.head("root") - _mid_hip(body))
    toward = getattr(posture, f"ankle_{side}") - hip
    lengths = float(np.linalg.norm(thigh_rest)), float(np.linalg.norm(shank_rest))
    thigh, shank, hinge = _two_links(*lengths, toward, LATERAL, SIGN[side] * posture.knee_out)
    upper = _from_rest(thigh, hinge, thigh_rest, LATERAL)
    lower = _from_rest(shank, hinge, shank_rest, LATERAL)
    foot = getattr(posture, f"foot_{side}")
    turns = {f"{bone}.{letter}": upper for bone in ("upperleg01", "upperleg02")}
    turns |= {f"{bone}.{letter}": lower for bone in ("lowerleg01", "lowerleg02")}
    turns |= {f"foot.{letter}": about_y(foot)}
    toes = about_y(foot + posture.toes)
    return turns | {name: toes for name in body.names if name.startswith("toe") and name.endswith(letter)}


def _arm(body: Body, side: str, posture: Posture, pelvis: Array) -> dict[str, Array]:
    letter = LETTER[side]
    upper_rest, fore_rest = _rest_links(body, f"upperarm01.{letter}", f"lowerarm01.{letter}", f"wrist.{letter}")
    offset = _shoulder(body, side, posture.lumbar, posture.shrug, posture.protract)
    toward = getattr(posture, f"wrist_{side}") - posture.hip - _apply(pelvis, offset)
    lengths = float(np.linalg.norm(upper_rest)), float(np.linalg.norm(fore_rest))
    upper, fore, hinge = _two_links(*lengths, toward, -LATERAL, -SIGN[side] * posture.flare)
    hinge_rest = np.cross(upper_rest, fore_rest)
    fore_turn = _from_rest(fore, hinge, fore_rest, hinge_rest)
    hand = _hand(body, side, posture, fore)
    axis = body.head(f"wrist.{letter}") - body.head(f"lowerarm02.{letter}")
    turns = {
        f"{bone}.{letter}": _from_rest(upper, hinge, upper_rest, hinge_rest) for bone in ("upperarm01", "upperarm02")
    }
    turns |= {f"lowerarm01.{letter}": fore_turn, f"lowerarm02.{letter}": _half_twist(fore_turn, hand, axis)}
    return turns | _fingers(body, side, posture, hand)


def _rest_links(body: Body, *joints: str) -> tuple[Array, Array]:
    first, middle, last = (body.head(joint) for joint in joints)
    return middle - first, last - middle


def _hand(body: Body, side: str, posture: Posture, fore: Array) -> Array:
    """Turn (N, 3, 3) of the hand from rest."""
    letter, mirror = LETTER[side], np.array([1.0, SIGN[side], 1.0])
    wrist = body.head(f"wrist.{letter}")
    rest_fingers = body.head(f"finger3-1.{letter}") - wrist
    across = np.cross(body.head(f"finger2-1.{letter}") - wrist, body.head(f"finger5-1.{letter}") - wrist)
    share = posture.along[:, None]
    fingers = _unit(_unit(posture.fingers * mirror) * (1 - share) + fore * share)
    return _from_rest(fingers, posture.palm * mirror, rest_fingers, -SIGN[side] * across)


def _fingers(body: Body, side: str, posture: Posture, hand: Array) -> dict[str, Array]:
    letter = LETTER[side]
    wrist = body.head(f"wrist.{letter}")
    rest_fingers = body.head(f"finger3-1.{letter}") - wrist
    across = np.cross(body.head(f"finger2-1.{letter}") - wrist, body.head(f"finger5-1.{letter}") - wrist)
    axis = np.cross(rest_fingers, -SIGN[side] * across)
    axis = axis / np.linalg.norm(axis)
    turns = {}
    for name in body.names:
        if not name.endswith(letter) or not name.startswith(("wrist", "finger", "metacarpal")):
            continue
        angle = np.zeros(len(posture))
        if name.startswith("finger"):
            finger, joint = int(name[6]), int(name[8])
            angle = posture.curl * CURL[joint] * (0.35 if finger == 1 else 1.0)
        turns[name] = hand @ _turn(axis, angle)
    return turns


def _two_links(a: float, b: float, toward: Array, hinge: Array, spin: Array) -> tuple[Array, Array, Array]:
    """Directions of the upper and the lower link and the hinge axis (N, 3), the ends `toward` apart."""
    distance = np.clip(np.linalg.norm(toward, axis=1), abs(a - b) + 1e-3, (a + b) * LONGEST)
    along = _unit(toward)
    axis = _unit(hinge - along * (along @ hinge)[:, None])
    pole = np.cross(along, axis)
    spin_cos, spin_sin = np.cos(np.radians(spin))[:, None], np.sin(np.radians(spin))[:, None]
    pole = pole * spin_cos + axis * spin_sin
    cos_a = np.clip((a * a + distance**2 - b * b) / (2 * a * distance), -1, 1)
    upper = along * cos_a[:, None] + pole * np.sqrt(1 - cos_a**2)[:, None]
    lower = (along * distance[:, None] - a * upper) / b
    return upper, _unit(lower), np.cross(pole, along)


def _collar_turn(side: str, shrug: Array, protract: Array) -> Array:
    sign = SIGN[side]
    return _turn(UPWARD, -sign * protract) @ _turn(FORWARD, sign * shrug)


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
        at = at + _apply(turn, body.head(child) - body.head(parent))
    return at


def _mid_hip(body: Body) -> Array:
    """Middle of the hips at rest (3,) from the root's head."""
    return (body.head("upperleg01.L") + body.head("upperleg01.R")) / 2 - body.head("root")


def _heads(body: Body, rotations: Array, root_at: Array) -> Array:
    heads = np.empty((len(rotations), len(body.names), 3))
    heads[:, 0] = root_at
    for bone, parent in enumerate(body.parents):
        if parent >= 0:
            heads[:, bone] = heads[:, parent] + _apply(rotations[:, parent], body.heads[bone] - body.heads[parent])
    return heads


def _from_rest(direction: Array, hinge: Array, rest_direction: Array, rest_hinge: Array) -> Array:
    return _frame(direction, hinge) @ np.swapaxes(_frame(rest_direction[None], rest_hinge[None]), -1, -2)


def _frame(direction: Array, hinge: Array) -> Array:
    first = _unit(direction)
    second = _unit(hinge - first * np.sum(hinge * first, axis=-1, keepdims=True))
    return np.stack([first, second, np.cross(first, second)], axis=-1)


def _half_twist(fore: Array, hand: Array, axis: Array) -> Array:
    """The forearm turned about its own `axis` (rest) by half of what the hand is twisted against it."""
    relative = Rotation.from_matrix(np.swapaxes(fore, -1, -2) @ hand).as_quat()
    axis = axis / np.linalg.norm(axis)
    twist = np.degrees(2 * np.arctan2(relative[:, :3] @ axis, relative[:, 3]))
    return fore @ _turn(axis, (np.mod(twist + 180, 360) - 180) / 2)


def _turn(axis: Array, angle: Array) -> Array:
    return Rotation.from_rotvec(np.radians(np.atleast_1d(angle))[:, None] * axis).as_matrix()


def _apply(turn: Array, vector: Array) -> Array:
    return np.einsum("nij,...j->ni", turn, vector) if vector.ndim == 1 else np.einsum("nij,nj->ni", turn, vector)


def _unit(vector: Array) -> Array:
    return vector / np.linalg.norm(vector, axis=-1, keepdims=True)
