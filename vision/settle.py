"""Which candidate of each look is the athlete's body: the sequence that hangs together best over the whole clip.

A right body moves little from look to look; wrong ones jump about. So each candidate costs by how badly it is seen, each
pair of neighbours by how far the joints moved, each look left out a fixed sum, and the cheapest sequence is found by
dynamic programming (Viterbi 1967). Costs are halves of squares of standard deviations: minus log likelihoods.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.looks import Look, least_visible
from vision.pose import extent

Array = NDArray[np.float64]

AT_REST: Final = 0.025
PER_SECOND: Final = 0.35
"""How far the joints of a right body move on average between two looks: share of its extent, standard deviation."""
FURTHEST: Final = 0.4
"""A joint further off than this share of the extent is simply wrong."""
UNSEEN: Final = 6.0
"""Cost of a body one of whose joints is not visible at all."""
LEFT_OUT: Final = 2.0
"""Cost of leaving a look out."""
MOST_LEFT_OUT: Final = 10
"""Looks in a row that are left out at the most, unless there is no other way."""


def settle(looks: tuple[Look, ...]) -> dict[int, int]:
    """The candidate chosen in each look that is kept, by the look's place in `looks`."""
    if not looks:
        return {}
    unary = [UNSEEN * (1 - least_visible(look.candidates)) for look in looks]
    cost = [own + LEFT_OUT * i for i, own in enumerate(unary)]
    came: list[list[tuple[int, int] | None]] = [[None] * len(own) for own in unary]
    for i, look in enumerate(looks):
        for h in range(max(0, i - MOST_LEFT_OUT), i):
            steps = cost[h][:, None] + _moves(looks[h], look) + LEFT_OUT * (i - h - 1)
            best = np.argmin(steps, axis=0)
            total = steps[best, np.arange(len(best))] + unary[i]
            for k in np.flatnonzero(total < cost[i]):
                cost[i][k], came[i][k] = total[k], (h, int(best[k]))
    ends = [np.min(own) + LEFT_OUT * (len(looks) - 1 - i) for i, own in enumerate(cost)]
    last = int(np.argmin(ends))
    at: tuple[int, int] | None = (last, int(np.argmin(cost[last])))
    chosen = {}
    while at is not None:
        chosen[at[0]] = at[1]
        at = came[at[0]][at[1]]
    return dict(sorted(chosen.items()))


def _moves(before: Look, after: Look) -> Array:
    """Cost (before, after) of each candidate following each."""
    a, b = before.candidates.points, after.candidates.points
    size = np.sqrt(extent(a)[:, None] * extent(b)[None])
    off = np.minimum(np.linalg.norm(a[:, None] - b[None], axis=-1) / size[..., None], FURTHEST)
    spread = AT_REST + PER_SECOND * (after.time - before.time)
    return np.asarray(0.5 * (off.mean(-1) / spread) ** 2)
