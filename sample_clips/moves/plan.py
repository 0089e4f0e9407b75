"""Plane geometry that the movements share. Points in the plane are (N, 2): forward and up."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Body
from sample_clips.joints import centre_of_mass, joint_points
from sample_clips.posture import Posture, reach, shoulder_half_width, shoulder_offset, solve
from sample_clips.recipe import Exercise

Array = NDArray[np.float64]
GRIP = 0.085
"""From the wrist's centre to the middle of a bar in the fist, metres (an adult's hand)."""


@dataclass(frozen=True)
class Prop:
    """Something to hold or stand on: a `box` (centre, size) or a `bar` from one point to another with a radius."""

    kind: str
    first: tuple[float, float, float]
    second: tuple[float, float, float]
    radius: float = 0.016
    material: str = "steel"


@dataclass(frozen=True)
class Unsteady:
    """What a living body adds: shift of the body (N, 3) in metres, hip angle and lean (N,) in degrees."""

    shift: Array
    hip: Array
    lean: Array


@dataclass(frozen=True)
class Placed:
    """Postures of a movement, what they rest on, and a posture of getting ready (one row)."""

    posture: Posture
    props: tuple[Prop, ...]
    ready: Posture


Move = Callable[[Body, Exercise, Array, Unsteady], Placed]


@dataclass(frozen=True)
class Build:
    """Lengths of one body with the shoulder girdle set as a movement needs it; all (N,) or metres."""

    upper_arm: float
    forearm: float
    thigh: float
    shank: float
    trunk: Array
    half_width: Array

    def arm(self, elbow: Array, hand_half_width: float) -> Array:
        """Length of the bent arm in the athlete's middle plane, the hands `hand_half_width` from it."""
        aside = hand_half_width - self.half_width
        return np.sqrt(reach(self.upper_arm, self.forearm, elbow) ** 2 - aside**2)

    def leg(self, knee: Array | float) -> Array:
        """Distance from hip to ankle."""
        return reach(self.thigh, self.shank, knee)


def build(body: Body, lumbar: Array, shrug: Array, protract: Array) -> Build:
    """Measures of a body for plane geometry."""
    offset = shoulder_offset(body, lumbar, shrug, protract)
    return Build(
        upper_arm=body.length("upperarm01.L", "lowerarm01.L"),
        forearm=body.length("lowerarm01.L", "wrist.L"),
        thigh=body.length("upperleg01.L", "lowerleg01.L"),
        shank=body.length("lowerleg01.L", "foot.L"),
        trunk=np.linalg.norm(offset, axis=1),
        half_width=shoulder_half_width(body, lumbar, shrug, protract),
    )


def posture(count: int, **values: Array | float | tuple[float, ...]) -> Posture:
    """A posture from values that may be one for all frames; what is not given is neutral."""
    neutral: dict[str, object] = {"palm": (0, 0, -1), "fingers": (1, 0, 0), "lumbar": 0, "shrug": 0, "protract": 0}
    neutral |= {
        "flare": 20,
        "knee_out": 0,
        "foot_left": 0,
        "foot_right": 0,
        "toes": 0,
        "neck": 0,
        "curl": 0,
        "along": 0,
    }
    points = {"hip", "wrist_left", "wrist_right", "ankle_left", "ankle_right", "palm", "fingers"}
    rows = {}
    for name, value in (neutral | values).items():
        shape = (count, 3) if name in points else (count,)
        rows[name] = np.array(np.broadcast_to(np.asarray(value, dtype=np.float64), shape))
    return Posture(**rows)


def both(name: str, x: Array | float, half_width: Array | float, z: Array | float) -> dict[str, Array]:
    """Left and right targets of a limb at the same place, mirrored."""
    x, y, z = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, dtype=np.float64)) for v in (x, half_width, z)))
    return {f"{name}_left": np.stack([x, y, z], -1), f"{name}_right": np.stack([x, -y, z], -1)}


def crossing(first: Array, radius_first: Array, second: Array, radius_second: Array, left: bool) -> Array:
    """Where two circles cross (N, 2): the crossing on the left, or right, of the way from the first centre to the second."""
    between = second - first
    distance = np.linalg.norm(between, axis=-1)
    along = (distance**2 + radius_first**2 - radius_second**2) / (2 * distance)
    if np.any(np.abs(along) > radius_first):
        raise ValueError("the hands and feet of this recipe are too far apart, or too close, for its body")
    across = np.sqrt(radius_first**2 - along**2)
    unit = between / distance[..., None]
    normal = np.stack([-unit[..., 1], unit[..., 0]], -1) * (1 if left else -1)
    return first + unit * along[..., None] + normal * across[..., None]


def span(leg: Array, trunk: Array, hip: Array) -> Array:
    """Distance from ankle to shoulder of a body bent by `hip` degrees."""
    return np.sqrt(leg**2 + trunk**2 + 2 * leg * trunk * np.cos(np.radians(hip)))


def hang_body(ankle: Array, shoulder: Array, leg: Array, trunk: Array, hip: Array) -> tuple[Array, Array]:
    """Hips (N, 2) and trunk pitch (N,) of a body from ankle to shoulder, bent by `hip` degrees (flexion positive)."""
    line = shoulder - ankle
    whole = np.linalg.norm(line, axis=-1)
    line_pitch = np.degrees(np.arctan2(line[..., 0], line[..., 1]))
    at_ankle = np.degrees(np.arcsin(np.clip(trunk * np.sin(np.radians(hip)) / whole, -1, 1)))
    hips = ankle + leg[..., None] * up(line_pitch - at_ankle)
    to_shoulder = shoulder - hips
    return hips, np.degrees(np.arctan2(to_shoulder[..., 0], to_shoulder[..., 1]))


def up(pitch: Array | float) -> Array:
    """Unit vector (N, 2) of a segment's upper end at a pitch in degrees."""
    angle = np.radians(np.atleast_1d(pitch))
    return np.stack([np.sin(angle), np.cos(angle)], -1)


def deep(points: Array, y: Array | float = 0.0) -> Array:
    """Plane points (N, 2) as points in space (N, 3)."""
    return np.stack([points[..., 0], np.broadcast_to(y, points[..., 0].shape), points[..., 1]], -1)


def balance(body: Body, make: Callable[[Array], Posture], over: Array, guess: Array) -> Array:
    """The parameter (N,) at which the centre of mass of `make(parameter)` stands over `over` (secant steps)."""

    def off(value: Array) -> Array:
        points = joint_points(body, solve(body, make(value)))
        return centre_of_mass(points, body.person.gender)[:, 0] - over

    previous, value = guess, guess + 0.5 if np.max(np.abs(guess)) > 2 else guess + 0.02
    off_previous = off(previous)
    for _ in range(6):
        off_value = off(value)
        slope = off_value - off_previous
        step = np.where(np.abs(slope) > 1e-9, off_value * (value - previous) / np.where(slope == 0, 1, slope), 0)
        previous, off_previous, value = value, off_value, value - step
    return value
