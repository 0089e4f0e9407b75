"""Joint centres, points of the skin and the centre of mass of a posed body."""

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import LETTER, Body
from sample_clips.skeleton import Pose

Array = NDArray[np.float64]
BONES = {"shoulder": "upperarm01", "elbow": "lowerarm01", "wrist": "wrist", "index": "finger2-1"}
BONES |= {"hip": "upperleg01", "knee": "lowerleg01", "ankle": "foot"}
MASS = {  # share of body mass, centre from the first point (share of the length); men, women
    ("crown", "neck"): ((0.0694, 0.5002), (0.0668, 0.4841)),
    ("shoulders", "hips"): ((0.4346, 0.4310), (0.4257, 0.3782)),
    ("shoulder", "elbow"): ((0.0271, 0.5772), (0.0255, 0.5754)),
    ("elbow", "wrist"): ((0.0162, 0.4574), (0.0138, 0.4559)),
    ("wrist", "knuckle"): ((0.0061, 0.7900), (0.0056, 0.7474)),
    ("hip", "knee"): ((0.1416, 0.4095), (0.1478, 0.3612)),
    ("knee", "ankle"): ((0.0433, 0.4395), (0.0481, 0.4352)),
    ("heel", "toe"): ((0.0137, 0.4415), (0.0129, 0.4014)),
}
"""de Leva P (1996) J Biomech 29(9):1223-1230: adjusted parameters and alternative end points, limbs per side."""


def joint_points(body: Body, pose: Pose) -> dict[str, Array]:
    """Centres of the joints and the points that go with them, each (N, 3); left and right by the athlete."""
    points = {"neck": pose.heads[:, body.index["neck01"]]}
    for side, letter in LETTER.items():
        points |= {f"{side}_{name}": pose.heads[:, body.index[f"{bone}.{letter}"]] for name, bone in BONES.items()}
        points[f"{side}_knuckle"] = pose.heads[:, body.index[f"finger3-1.{letter}"]]
    for name, (bone, rest) in body.points.items():
        points[name] = pose.heads[:, bone] + np.einsum("nij,j->ni", pose.rotations[:, bone], rest - body.heads[bone])
    return points


def middle(points: dict[str, Array], name: str) -> Array:
    """Midpoint (N, 3) of the left and the right of a joint."""
    return (points[f"left_{name}"] + points[f"right_{name}"]) / 2


def centre_of_mass(points: dict[str, Array], gender: float) -> Array:
    """Centre of mass (N, 3); men's and women's tables mixed by `gender` (0 men, 1 women)."""
    total, mass_sum = np.zeros_like(points["neck"]), 0.0
    for (proximal, distal), (men, women) in MASS.items():
        mass, share = (m + gender * (w - m) for m, w in zip(men, women, strict=True))
        for start, end in _ends(points, proximal, distal):
            total = total + mass * (start + share * (end - start))
            mass_sum += mass
    return total / mass_sum


def _ends(points: dict[str, Array], proximal: str, distal: str) -> list[tuple[Array, Array]]:
    if proximal == "crown":
        return [(points["crown"], points["neck"])]
    if proximal == "shoulders":
        return [(middle(points, "shoulder"), middle(points, "hip"))]
    return [(points[f"{side}_{proximal}"], points[f"{side}_{distal}"]) for side in LETTER]
