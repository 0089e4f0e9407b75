"""What one moment shows of the athlete's middle plane, as independent numbers with their uncertainties."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.body_points import SHARES, SHARES_U
from vision.breadth import BREADTH, breadth_u
from vision.level import Level
from vision.motion import Motion
from vision.plane import Eye, Points, eye_of
from vision.scale import PROPORTION_U
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]
Span = tuple[float, float]

LANDMARK_U: Final = 0.015
LOOSE: Final = ("ear", "nose", "elbow")
LOOSE_U: Final = 0.020
"""Shares of height, standard: a landmark against its point of the body, along each axis; and those that lie worst: a
face that is small in the picture, an elbow that points aside."""
STAYS: Final = 0.04
"""Share of height within which a hand that rests stays over a set; rings that travel further are taken as they are."""
HANDS: Final = ("wrist", "index")
FRAME: Final = ("roll", "pitch", "yaw", "focal", "scale")
"""Errors of the frame of reference, zero and uncertain: radians, and shares of the focal length and of the height."""


@dataclass(frozen=True)
class Sight:
    """Inputs by name: those of `SHARES` and `FRAME`, and of each landmark `NAME.x`, `NAME.y`, `NAME.breadth`.

    The first two are its ray, the third its distance from the middle plane.
    """

    eye: Eye
    names: tuple[str, ...]
    value: Array
    u: Array

    def named(self, inputs: Array) -> dict[str, float]:
        """Inputs (in the order of `names`) by their names."""
        return dict(zip(self.names, map(float, inputs), strict=True))


def sight(motion: Motion, level: Level, moment: Span, resting: Span) -> Sight:
    """What one moment shows.

    Args:
        motion: The athlete over time.
        level: Which way is down.
        moment: Start and end, seconds.
        resting: Start and end of the set: hands that stay where they are in it are taken where they are over all of it.
    """
    eye = eye_of(motion)
    now = frames_in(motion, moment)
    known: dict[str, tuple[float, float]] = {}
    for name, breadth in BREADTH.items():
        x, y = np.median(rays_of(motion, name)[frames_for(motion, name, moment, resting)], axis=0)
        bias = LOOSE_U if name in LOOSE else LANDMARK_U
        u = float(np.hypot(_noise(motion, name, now), bias)) / eye.distance
        known |= {f"{name}.x": (x, u), f"{name}.y": (y, u), f"{name}.breadth": (breadth, breadth_u(name))}
    known |= {name: (share, SHARES_U[name]) for name, share in SHARES.items()}
    turned = np.radians([level.roll_u, level.pitch_u, motion.view.u])
    known |= {name: (0.0, float(u)) for name, u in zip(FRAME, (*turned, level.focal_u, PROPORTION_U), strict=True)}
    value, u_all = np.array(list(known.values()), dtype=float).T
    return Sight(eye, tuple(known), value, u_all)


def points(eye: Eye, x: Mapping[str, float]) -> Points:
    """The landmarks in the middle plane, the frame of reference being off by what the inputs say."""
    seen = Eye(eye.near, eye.distance * (1 + x["focal"]) / (1 + x["scale"]))
    rays = {name: np.array([x[f"{name}.x"], x[f"{name}.y"]]) / (1 + x["focal"]) for name in BREADTH}
    rays = {name: _pitched(ray, x["pitch"]) for name, ray in rays.items()}
    turn = np.array([[1.0, -x["roll"]], [x["roll"], 1.0]])
    depth = {name: x["yaw"] * (ray[0] - rays["hip"][0]) * seen.distance for name, ray in rays.items()}
    return {name: turn @ seen.place(ray, x[f"{name}.breadth"] - depth[name]) for name, ray in rays.items()}


def rays_of(motion: Motion, name: str) -> Array:
    """(frames, 2) rays of a near landmark; of the ears, and of all in a frontal plane, the middle of both sides."""
    if name == "ear" or (motion.view.plane == "frontal" and name != "nose"):
        return np.asarray(np.mean([motion.rays[:, INDEX[f"{side}_{name}"]] for side in SIDES], axis=0))
    return motion.rays[:, INDEX[near_name(motion, name)]]


def near_name(motion: Motion, name: str) -> str:
    """A landmark's name with the near side's name, where it has a side."""
    return name if name == "nose" else f"{motion.near}_{name}"


def frames_in(motion: Motion, span: Span) -> NDArray[np.intp]:
    """Frames from a start to an end, or the one nearest to their middle."""
    frames = np.flatnonzero((motion.time >= span[0]) & (motion.time <= span[1]))
    return frames if len(frames) else np.array([int(np.argmin(np.abs(motion.time - sum(span) / 2)))])


def frames_for(motion: Motion, name: str, moment: Span, resting: Span) -> NDArray[np.intp]:
    """Frames that tell where a landmark is at a moment: of a hand that stays where it is, those of the whole set."""
    whole = frames_in(motion, resting)
    if name not in HANDS:
        return frames_in(motion, moment)
    low, high = np.percentile(rays_of(motion, name)[whole], (5, 95), axis=0)
    stays = np.linalg.norm(high - low) < STAYS / eye_of(motion).distance
    return whole if stays else frames_in(motion, moment)


def _pitched(ray: Array, pitch: float) -> Array:
    """A ray as seen by a lens that is pitched by a small angle (radians) more."""
    tangent = np.tan(pitch)
    return np.asarray(np.array([ray[0] * np.hypot(1, tangent), ray[1] + tangent]) / (1 - ray[1] * tangent))


def _noise(motion: Motion, name: str, frames: NDArray[np.intp]) -> float:
    """Random part of a landmark's standard deviation, share of height."""
    return float(np.median(motion.joints_sd[frames, INDEX[near_name(motion, name)]])) / motion.height
