"""How far joints lie from the athlete's middle plane, in shares of standing height."""

from typing import Final

from models.movements.entry import Plane

BREADTH: Final[dict[str, float]] = {
    "ear": 0.0, "nose": 0.0, "shoulder": 0.11, "elbow": 0.15, "wrist": 0.15, "index": 0.15,
    "hip": 0.06, "knee": 0.06, "ankle": 0.06, "heel": 0.06, "toe": 0.06,
}  # fmt: skip
"""Distance of a joint from the middle plane, share of height: shoulders and hips somewhat less than half the breadths
of Drillis & Contini 1966 (.259 and .191), whose ends lie outside the joints; hands and elbows a little wider than the
shoulders. Both ears are looked at, so that their middle has none."""
BREADTH_U: Final[dict[str, float]] = {"elbow": 0.03, "wrist": 0.04, "index": 0.04}
NARROW_U: Final = 0.02
"""Standard uncertainty of a breadth: a grip may be narrow or wide; all others."""


def breadth_in(plane: Plane, name: str) -> float:
    """Distance of a joint from the middle of the body, toward the lens: what is seen from the front lies in its plane."""
    return BREADTH[name] if plane == "sagittal" else 0.0


def breadth_u(name: str) -> float:
    """Standard uncertainty of a joint's distance from the middle plane, share of height."""
    return BREADTH_U.get(name, NARROW_U)
