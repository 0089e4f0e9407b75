"""Intervals by resampling whole clips: what one clip shows errs together, so clips are drawn, not values.

Cluster bootstrap, percentile interval (Efron & Tibshirani 1993, chapter 13), seeded.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

RESAMPLES = 2000
SEED = 0


def interval(above: ArrayLike, below: ArrayLike, clips: Sequence[str]) -> tuple[float, float] | None:
    """95 % interval of sum(above) / sum(below); None for fewer than two clips.

    Args:
        above: (values,) what is summed over the line.
        below: (values,) what is summed under it; ones for a mean or a share.
        clips: (values,) the clip of each.
    """
    names, index = np.unique(np.array(clips), return_inverse=True)
    if len(names) < 2:
        return None
    over, under = (np.bincount(index, weights=np.asarray(x, dtype=float)) for x in (above, below))
    drawn = np.random.default_rng(SEED).integers(len(names), size=(RESAMPLES, len(names)))
    sums: NDArray[np.float64] = under[drawn].sum(axis=1)
    ratios = over[drawn].sum(axis=1)[sums > 0] / sums[sums > 0]
    low, high = np.quantile(ratios, [0.025, 0.975])
    return float(low), float(high)
