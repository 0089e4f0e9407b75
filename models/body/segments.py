"""Segment masses and centres of mass of the human body.

Source: de Leva P (1996) Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters. J Biomech 29(9):1223-1230,
table 4 and its alternative end points (young adult men and women).
"""

from dataclasses import dataclass
from typing import Final, Literal

Sex = Literal["men", "women", "mean"]


@dataclass(frozen=True)
class Segment:
    """One segment; arms and legs are per side.

    `mass` is a share of body mass; `centre` lies on the line from `proximal` to `distal`, as a share of its length.
    """

    name: str
    proximal: str
    distal: str
    mass: float
    centre: float
    paired: bool = True


MEN: Final = (
    Segment("head", "vertex", "mid_gonion", 0.0694, 0.5976, paired=False),
    Segment("trunk", "mid_shoulder", "mid_hip", 0.4346, 0.4310, paired=False),
    Segment("upper_arm", "shoulder", "elbow", 0.0271, 0.5772),
    Segment("forearm", "elbow", "wrist", 0.0162, 0.4574),
    Segment("hand", "wrist", "knuckle", 0.0061, 0.7900),
    Segment("thigh", "hip", "knee", 0.1416, 0.4095),
    Segment("shank", "knee", "ankle", 0.0433, 0.4395),
    Segment("foot", "heel", "toe", 0.0137, 0.4415),
)

WOMEN: Final = (
    Segment("head", "vertex", "mid_gonion", 0.0668, 0.5894, paired=False),
    Segment("trunk", "mid_shoulder", "mid_hip", 0.4257, 0.3782, paired=False),
    Segment("upper_arm", "shoulder", "elbow", 0.0255, 0.5754),
    Segment("forearm", "elbow", "wrist", 0.0138, 0.4559),
    Segment("hand", "wrist", "knuckle", 0.0056, 0.7474),
    Segment("thigh", "hip", "knee", 0.1478, 0.3612),
    Segment("shank", "knee", "ankle", 0.0481, 0.4352),
    Segment("foot", "heel", "toe", 0.0129, 0.4014),
)

MEAN: Final = tuple(
    Segment(m.name, m.proximal, m.distal, (m.mass + w.mass) / 2, (m.centre + w.centre) / 2, m.paired)
    for m, w in zip(MEN, WOMEN, strict=True)
)
"""For an athlete whose sex is not told."""


def segments(sex: Sex = "mean") -> tuple[Segment, ...]:
    """The eight kinds of segment. Their masses, paired ones twice, add up to 1 within rounding."""
    return {"men": MEN, "women": WOMEN, "mean": MEAN}[sex]
