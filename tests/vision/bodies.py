"""A stick figure seen from the side: joint points in the picture from angles over time, by forward kinematics.

Angles are those of the design: goniometric, flexion positive. `forward` says how far the trunk is turned from upright
toward the belly: 0 standing, 90 face down, -90 face up, 180 upside down.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from models.document import Side
from models.movements.movement import Movement
from vision.body_angles import HIP_FORWARD
from vision.breadth import BREADTH
from vision.camera import PhoneMotion
from vision.level import Level, assumed
from vision.limb import UPPER_ARM
from vision.motion import Motion, read_motion
from vision.skeleton import INDEX, JOINTS, SIDES
from vision.smooth import Body

Array = NDArray[np.float64]

PIXELS: Final = 300.0
"""Per metre."""
SIZE: Final = (1280, 720)
ARM: Final = 0.55
LEGS: Final = 0.86
LENGTH: Final = {
    "trunk": 0.50,
    "upper arm": UPPER_ARM * ARM,
    "forearm": (1 - UPPER_ARM) * ARM,
    "thigh": 0.245 / 0.491 * LEGS,
    "shank": 0.246 / 0.491 * LEGS,
    "hand": 0.08,
}
"""Metres, in the proportions that the measuring takes for everybody's."""
ASIDE: Final = 0.153
"""An elbow bent at a right angle is 4 % of height wider than the shoulder: by that share of its way off the line between
shoulder and wrist it points aside, some nine degrees."""
AFAR: Final = replace(assumed(SIZE), focal=PIXELS * 1e7)
"""A lens so far away that near and far things look the same size; its level is only assumed."""
TALL: Final = (LENGTH["trunk"] + LENGTH["thigh"] + LENGTH["shank"]) / 0.779
"""Metres: shoulder at .818 and ankle at .039 of height (Drillis & Contini 1966, as printed in Winter 2009, figure 4.1)."""
FOOT: Final = 0.15


@dataclass(frozen=True)
class Pose:
    """Angles over time, degrees; each broadcasts to (frames,)."""

    forward: ArrayLike
    shoulder: ArrayLike = 0.0
    elbow: ArrayLike = 0.0
    hip: ArrayLike = 0.0
    knee: ArrayLike = 0.0


def blend(time: Array, knots: list[tuple[float, float]]) -> Array:
    """A series that rests and goes smoothly from one (second, value) to the next (half a cosine each)."""
    at, values = (np.array(column, dtype=float) for column in zip(*knots, strict=True))
    place = np.clip(np.searchsorted(at, time, side="right") - 1, 0, len(at) - 2)
    share = np.clip((time - at[place]) / (at[place + 1] - at[place]), 0, 1)
    return np.asarray(values[place] + (values[place + 1] - values[place]) * (1 - np.cos(np.pi * share)) / 2)


def figure(time: Array, pose: Pose, near: Side, anchor: str, at: ArrayLike = (0.0, 0.0)) -> Array:
    """Joints (frames, joints, 2) in metres, x right and y down, with the near side's `anchor` joint at `at`."""
    n = len(time)
    forward, shoulder, elbow, hip, knee = (
        np.broadcast_to(np.asarray(a, dtype=float), (n,))
        for a in (pose.forward, pose.shoulder, pose.elbow, pose.hip, pose.knee)
    )
    # As a lens to the athlete's right sees it, the belly is clockwise of the way from feet to head.
    trunk = forward - 90
    arm = trunk + 180 - shoulder
    thigh = trunk + 180 - hip
    shank = thigh + knee
    shoulders = LENGTH["trunk"] * _way(trunk)
    elbows = shoulders + LENGTH["upper arm"] * _way(arm)
    wrists = elbows + LENGTH["forearm"] * _way(arm - elbow)
    knees = LENGTH["thigh"] * _way(thigh)
    ankles = knees + LENGTH["shank"] * _way(shank)
    places = {
        "hip": np.zeros((n, 2)),
        "shoulder": shoulders,
        "ear": shoulders + 0.22 * _way(trunk),
        "elbow": elbows,
        "wrist": wrists,
        "index": wrists + LENGTH["hand"] * _way(arm - elbow),
        "knee": knees,
        "ankle": ankles,
        "heel": ankles + 0.05 * _way(shank + 90),
        "toe": ankles + FOOT * _way(shank - 90),
    }
    mirror = np.array([1.0 if near == "right" else -1.0, 1.0])
    joints = np.zeros((n, len(JOINTS), 2))
    for name, place in places.items():
        joints[:, INDEX[f"left_{name}"]] = joints[:, INDEX[f"right_{name}"]] = place * mirror
    joints[:, INDEX["nose"]] = (shoulders + 0.22 * _way(trunk) + 0.1 * _way(trunk + 90)) * mirror
    held = joints[:, INDEX[f"{near}_{anchor}"]]
    return np.asarray(joints - held[:, None] + np.broadcast_to(np.asarray(at, dtype=float), (n, 2))[:, None])


def body(time: Array, joints: Array, near: Side = "left", *, yaw: float = 0.0, seen: ArrayLike = True) -> Body:
    """Tracks without any error of a figure (frames, joints, 2) in metres, seen from afar, its middle in the picture's."""
    n = len(time)
    seen_joints = turned(in_space(landmarks(joints, near), near), yaw)[..., :2]
    middle = (joints.reshape(-1, 2).min(0) + joints.reshape(-1, 2).max(0)) / 2
    return Body(
        time=time,
        joints=(seen_joints - middle) * PIXELS + np.array(SIZE) / 2,
        joints_sd=np.full((n, len(JOINTS)), 1.0),
        scatter=np.zeros(len(JOINTS)),
        world=turned(in_space(joints, near), yaw),
        visibility=np.ones((n, len(JOINTS))),
        disagreement=np.zeros((n, len(JOINTS))),
        present=np.broadcast_to(np.asarray(seen, dtype=bool), (n,)).copy(),
    )


def in_space(joints: Array, near: Side) -> Array:
    """Joints (frames, joints, 3) of a figure (frames, joints, 2), its limbs as far from the middle as people's are."""
    depth = np.zeros(joints.shape[:2])
    for name, index in INDEX.items():
        side, _, point = name.partition("_")
        if point:
            breadth = 0.045 if point == "ear" else BREADTH[point]
            depth[:, index] = TALL * breadth * (-1 if side == near else 1)
    for side in SIDES:
        arm = [INDEX[f"{side}_{name}"] for name in ("shoulder", "elbow", "wrist")]
        depth[:, arm[1]] = elbow_depth(joints[:, arm], depth[:, arm[0]], depth[:, arm[2]])
    return np.concatenate([joints, depth[..., None]], axis=2)


def elbow_depth(arm: Array, first: Array, last: Array) -> Array:
    """Depth (frames,) of the elbow of an arm (frames, 3, 2) from those of shoulder and wrist.

    On the line between them, and out of it as far as a bent arm points aside.
    """
    shoulder, elbow, wrist = np.moveaxis(arm, 1, 0)
    chord = wrist - shoulder
    share = np.sum((elbow - shoulder) * chord, axis=1) / np.sum(chord**2, axis=1)
    off = np.linalg.norm(elbow - shoulder - share[:, None] * chord, axis=1)
    return np.asarray(first + share * (last - first) + ASIDE * off * np.sign(last))


def turned(space: Array, yaw: float) -> Array:
    """Points (..., 3) as a lens sees them that stands so many degrees further to the right than abeam."""
    turn = np.radians(yaw)
    return space @ np.array([[np.cos(turn), 0, -np.sin(turn)], [0, 1, 0], [np.sin(turn), 0, np.cos(turn)]])


def landmarks(joints: Array, near: Side) -> Array:
    """Where the landmarker sees joints (frames, joints, 2): the hips in front of their centres, the others in theirs."""
    seen = joints.copy()
    to_the_front = np.array([[0.0, -1.0], [1.0, 0.0]]) * (HIP_FORWARD if near == "right" else -HIP_FORWARD)
    for side in SIDES:
        shoulder, hip = joints[:, INDEX[f"{side}_shoulder"]], joints[:, INDEX[f"{side}_hip"]]
        seen[:, INDEX[f"{side}_hip"]] = shoulder - (shoulder - hip) @ np.linalg.inv(np.eye(2) + to_the_front).T
    return seen


def stand_on(joints: Array, ankle: Array, near: Side) -> Array:
    """The same body with both feet at `ankle` (frames, 2), the knees bent forward as far as that takes."""
    moved = joints.copy()
    hip = joints[:, INDEX[f"{near}_hip"]]
    away = ankle - hip
    reach = np.linalg.norm(away, axis=1)
    turn = np.radians(_between_sides(reach, LENGTH["thigh"], LENGTH["shank"])) * (-1 if near == "right" else 1)
    cosine, sine = np.cos(turn), np.sin(turn)
    thigh = np.stack([cosine * away[:, 0] - sine * away[:, 1], sine * away[:, 0] + cosine * away[:, 1]], axis=1)
    knee = hip + thigh * (LENGTH["thigh"] / reach)[:, None]
    for side in SIDES:
        shift = ankle - joints[:, INDEX[f"{side}_ankle"]]
        moved[:, INDEX[f"{side}_knee"]] = knee
        for name in ("ankle", "heel", "toe"):
            moved[:, INDEX[f"{side}_{name}"]] += shift
    return moved


def still_phone(frames: int) -> PhoneMotion:
    return PhoneMotion(np.tile(np.eye(2, 3), (frames, 1, 1)), 0.0, known=True)


def motion(
    time: Array,
    joints: Array,
    movement: Movement,
    near: Side = "left",
    *,
    yaw: float = 0.0,
    seen: ArrayLike = True,
    level: Level | None = None,
) -> Motion:
    """What is read off a figure (frames, joints, 2) in metres."""
    tracks = body(time, joints, near, yaw=yaw, seen=seen)
    return read_motion(tracks, movement, still_phone(len(time)), level or AFAR, 1.0)


def push_up(time: Array, elbow: ArrayLike, near: Side = "left", hip: ArrayLike = 0.0) -> Array:
    """Joints of a push-up on straight arms and toes: hands and feet stay where they are on the floor.

    Shoulder, hand and foot are a triangle, two sides of which are the body and the bent arm.
    """
    bend = np.radians(np.broadcast_to(np.asarray(elbow, dtype=float), time.shape))
    sag = np.radians(np.broadcast_to(np.asarray(hip, dtype=float), time.shape))
    upper, fore, trunk = LENGTH["upper arm"], LENGTH["forearm"], LENGTH["trunk"]
    reach = np.sqrt(upper**2 + fore**2 + 2 * upper * fore * np.cos(bend))
    long = np.sqrt(trunk**2 + LEGS**2 + 2 * trunk * LEGS * np.cos(sag))
    floor = np.sqrt((trunk + LEGS) ** 2 - ARM**2)
    tilt = _between_sides(long, floor, reach)
    at_shoulder = _between_sides(long, reach, floor)
    off_reach = _between_sides(np.full_like(reach, upper), reach, fore)
    off_line = np.degrees(np.arctan2(LEGS * np.sin(sag), trunk + LEGS * np.cos(sag)))
    pose = Pose(90 - tilt + off_line, at_shoulder - off_reach + off_line, elbow, hip)
    return figure(time, pose, near, "wrist")


def _between_sides(a: Array, b: ArrayLike, opposite: ArrayLike) -> Array:
    """Angle (degrees) of a triangle between sides a and b."""
    side, across = np.asarray(b, dtype=float), np.asarray(opposite, dtype=float)
    return np.degrees(np.arccos(np.clip((a**2 + side**2 - across**2) / (2 * a * side), -1, 1)))


def _way(degrees: Array) -> Array:
    """Unit vectors (frames, 2) turned clockwise from the picture's right."""
    return np.stack([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))], axis=1)
