"""Points of a body's skin that standards are measured to: chin, skull, front of the chest."""

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Body
from sample_clips.skeleton import Pose

Array = NDArray[np.float64]
Which = NDArray[np.intp]
MIDDLE = 0.012
"""Metres from the middle plane within which the skin is taken for its middle."""
XIPHION = (0.30, 0.22)
"""Where the breastbone ends, share of the way from the shoulders to the hips: men, women (de Leva 1996, table 4)."""
UNDER_THE_NOSE = 0.04
"""Metres behind the nose's tip that the chin may lie."""


def chin(body: Body) -> int:
    """The vertex that is the lowest point of the chin in the middle."""
    nose = body.face["nose"]
    at = body.vertices
    front = (np.abs(at[:, 1]) < 0.006) & (at[:, 0] > nose[0] - UNDER_THE_NOSE) & (at[:, 2] < nose[2])
    near = front & (at[:, 2] > nose[2] - 0.12)
    return int(np.flatnonzero(near)[np.argmin(at[near, 2])])


def skull(body: Body) -> Which:
    """The vertices of the head above the chin."""
    on_head = body.bone_weights[:, body.index["head"]] > 0.9
    return np.flatnonzero(on_head & (body.vertices[:, 2] > body.vertices[chin(body), 2]))


def chest(body: Body) -> Which:
    """The vertices of the front of the trunk in the middle, from the shoulders' level to the end of the breastbone."""
    shoulder, hip = body.head("upperarm01.L")[2], body.head("upperleg01.L")[2]
    men, women = XIPHION
    lowest = shoulder - (men + (women - men) * body.person.gender) * (shoulder - hip)
    at = body.vertices
    axis = body.head("spine01")[0]
    inside = (
        (np.abs(at[:, 1]) < MIDDLE) & (at[:, 0] > axis) & (at[:, 2] <= shoulder + 0.01) & (at[:, 2] >= lowest - 0.01)
    )
    return np.flatnonzero(inside)


def skin_at(body: Body, pose: Pose, which: Which) -> Array:
    """Where some vertices are at each frame, (N, K, 3)."""
    shift = pose.heads - np.einsum("nbij,bj->nbi", pose.rotations, body.heads)
    weights, rest = body.bone_weights[which], body.vertices[which]
    used = np.flatnonzero(weights.any(axis=0))
    turned = np.einsum("nbij,vj->nvbi", pose.rotations[:, used], rest) + shift[:, None, used]
    return np.einsum("vb,nvbi->nvi", weights[:, used], turned)
