"""Join landmarks (right on average, noisy) with flow (exact from picture to picture, drifting) into one smooth track.

For each coordinate x over the frames, minimise

    sum ((x_i - landmark_i) / s_i)^2 + sum ((x_i - x_{i-1} - flow_i) / f_i)^2 + sum (second difference / a)^2

a Gaussian fixed-interval smoother written as one banded least-squares problem (Rauch, Tung & Striebel 1965 give the
recursive form). Landmarks far from the track are given less weight (iteratively reweighted, Student's t, nu = 4).
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cho_solve_banded, cholesky_banded

Array = NDArray[np.float64]

ROUNDS: Final = 4
FREEDOM: Final = 4.0


def fuse(
    time: Array, landmark: Array, sd: Array, flow: Array, flow_sd: Array, acceleration: float
) -> tuple[Array, Array]:
    """Smooth one track.

    Args:
        time: (frames,) seconds, increasing.
        landmark: (frames, axes) positions; nan where there is none.
        sd: (frames,) standard deviation of a landmark.
        flow: (frames, axes) displacement since the frame before; nan where unknown.
        flow_sd: (frames,) its standard deviation.
        acceleration: standard deviation of the acceleration that the body may show, units per second squared, where
            nothing but the smoothness prior speaks.

    Returns:
        Positions (frames, axes) and their posterior standard deviation (frames,).
    """
    seen = np.isfinite(landmark).all(1)
    weight = np.where(seen, 1.0 / sd**2, 0.0)
    steps = flow_weight(flow, flow_sd)
    prior = smoothness(time, acceleration)
    scale = np.ones(len(time))
    for _ in range(ROUNDS):
        position, factor = _solve(np.nan_to_num(landmark), weight * scale, np.nan_to_num(flow), steps, prior)
        distance = np.where(seen, ((np.nan_to_num(landmark) - position) ** 2).sum(1) * weight, 0.0)
        scale = robust(distance)
    return position, np.sqrt(_diagonal_of_inverse(factor))


def flow_weight(flow: Array, flow_sd: Array) -> Array:
    """Weights (frames, ...) of displacements (frames, ..., axes); 0 where the flow is not known."""
    moved = np.isfinite(flow).all(-1) & np.isfinite(flow_sd)
    moved[0] = False
    return np.where(moved, 1.0 / np.where(moved, flow_sd, 1.0) ** 2, 0.0)


def robust(distance: Array) -> Array:
    """What a landmark still counts whose squared distance from the track, in its variance, is given (Student's t)."""
    return (FREEDOM + 2) / (FREEDOM + distance)


def smoothness(time: Array, acceleration: float) -> Array:
    """Rows (frames - 2, 3) of the scaled second difference on uneven times."""
    before, after = np.diff(time)[:-1], np.diff(time)[1:]
    span = 0.5 * (before + after)
    rows = np.stack([1 / before, -1 / before - 1 / after, 1 / after], axis=1) / span[:, None]
    # White acceleration noise over a step of length `span`: its mean has a variance that falls with the span.
    return rows * np.sqrt(span)[:, None] / acceleration


def _solve(landmark: Array, weight: Array, flow: Array, steps: Array, prior: Array) -> tuple[Array, Array]:
    """Solve the banded normal equations; returns positions and the lower banded Cholesky factor."""
    n = len(landmark)
    band = np.zeros((3, n))
    band[0] += weight + 1e-9
    band[0, 1:] += steps[1:]
    band[0, :-1] += steps[1:]
    band[1, :-1] -= steps[1:]
    for i in range(3):
        for j in range(i, 3):
            band[j - i, i : n - 2 + i] += prior[:, i] * prior[:, j]
    right = weight[:, None] * landmark
    right[1:] += steps[1:, None] * flow[1:]
    right[:-1] -= steps[1:, None] * flow[1:]
    factor = cholesky_banded(band, lower=True)
    return np.asarray(cho_solve_banded((factor, True), right)), factor


def _diagonal_of_inverse(factor: Array) -> Array:
    """Diagonal of the inverse of A = L L' from the lower banded L (Takahashi, Fagan & Chin 1973)."""
    width, n = factor.shape
    inverse = np.zeros((width, n))
    for j in range(n - 1, -1, -1):
        top = min(width - 1, n - 1 - j)
        column = factor[1 : top + 1, j] / factor[0, j]
        for k in range(top, 0, -1):
            block = [inverse[abs(k - m), j + min(k, m)] for m in range(1, top + 1)]
            inverse[k, j] = -np.dot(column, block)
        inverse[0, j] = 1 / factor[0, j] ** 2 - np.dot(column, inverse[1 : top + 1, j])
    return inverse[0]
