"""One side of the body over the whole clip: segments that keep their length, joints where landmarks and flow have them.

All joints x of one side in all frames are found together, as the least of

    sum ((x - landmark) / s)^2 + sum ((x_i - x_{i-1} - flow_i) / f_i)^2 + sum (second difference / a)^2
        + sum ((|x_b - x_a| - L) / t)^2     over frames and segments a-b

where L is the segment's length in the clip. A picture shows a segment shorter where it turns out of the picture plane and
never longer, so t is small for what is too long and larger for what is too short, and L is a high quantile. Landmarks and
lengths far from the fit count less (iteratively reweighted, Student's t). The lengths are linearised anew in each round
(Gauss-Newton); the normal equations are banded, because a frame knows only its neighbours.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.linalg import solveh_banded

from vision.fuse import FREEDOM, flow_weight, robust, smoothness

Array = NDArray[np.float64]

ROUNDS: Final = 6
LONGER: Final = 0.02
"""Standard deviation, share of its length, of a segment that looks longer than it is: landmarks slide along a limb."""
SHORTER: Final = 0.06
"""The same of a trunk or leg that looks shorter: it hardly leaves the picture plane."""
FLARED: Final = 0.20
"""The same of an upper arm or forearm: the elbow flares out of the picture plane."""
LENGTH_QUANTILE: Final = 0.7

Segment = tuple[int, int, float]
"""A segment's two joints and how much shorter it may look."""


def fit(
    time: Array,
    landmarks: Array,
    sd: Array,
    flow: Array,
    flow_sd: Array,
    acceleration: float,
    segments: Sequence[Segment],
) -> Array:
    """Joints (frames, joints, 2) of one side.

    Args:
        time: (frames,) seconds, increasing.
        landmarks: (frames, joints, 2); nan where there are none.
        sd: (frames, joints) standard deviation of a landmark.
        flow: (frames, joints, 2) displacement since the frame before; nan where unknown.
        flow_sd: (frames, joints) its standard deviation.
        acceleration: As in `vision.fuse.fuse`.
        segments: Which joints keep their distance.
    """
    seen = np.isfinite(landmarks).all(2)
    weight = np.where(seen, 1 / sd**2, 0.0)
    known = np.nan_to_num(landmarks)
    motion, pushed = _motion(time, np.nan_to_num(flow), flow_weight(flow, flow_sd), acceleration)
    scale = np.ones_like(weight)
    joints: Array | None = None
    for _ in range(ROUNDS):
        landmark = np.repeat((weight * scale).ravel(), 2)
        normal = sparse.csr_array(motion + sparse.diags_array(landmark + 1e-9))
        right = landmark * known.ravel() + pushed
        if joints is not None:
            lengths, pulled = _lengths(joints, segments)
            normal, right = sparse.csr_array(normal + lengths), right + pulled
        joints = np.asarray(solveh_banded(_band(normal, 4 * landmarks.shape[1]), right, lower=True))
        joints = joints.reshape(landmarks.shape)
        scale = robust(((known - joints) ** 2).sum(2) * weight)
    assert joints is not None
    return joints


def _motion(time: Array, flow: Array, weight: Array, acceleration: float) -> tuple[sparse.csr_array, Array]:
    """Normal matrix and right side of how joints move: the flow, and the smoothness prior."""
    frames, joints, _ = flow.shape
    every = sparse.eye_array(2 * joints)
    bend = sparse.diags_array(smoothness(time, acceleration).T, offsets=[0, 1, 2], shape=(frames - 2, frames))
    since = sparse.eye_array(frames) - sparse.eye_array(frames, k=-1)
    step = sparse.kron(since, every)
    weights = np.repeat(weight.ravel(), 2)
    normal = sparse.kron(bend.T @ bend, every) + step.T @ sparse.diags_array(weights) @ step
    return sparse.csr_array(normal), np.asarray(step.T @ (weights * flow.ravel()))


def _lengths(joints: Array, segments: Sequence[Segment]) -> tuple[sparse.csr_array, Array]:
    """Normal matrix and right side of the segments' lengths, linearised at `joints` (frames, joints, 2)."""
    frames, count, _ = joints.shape
    rows, columns, values, wanted, weights = [], [], [], [], []
    first = 2 * count * np.arange(frames)
    for n, (a, b, shorter) in enumerate(segments):
        along = joints[:, b] - joints[:, a]
        length = np.maximum(np.linalg.norm(along, axis=1), 1e-6)
        unit = along / length[:, None]
        whole = float(np.quantile(length, LENGTH_QUANTILE))
        off = (length - whole) / (np.where(length > whole, LONGER, shorter) * whole)
        weights.append((off / np.where(length == whole, 1.0, length - whole)) ** 2 / (1 + (off / FREEDOM) ** 2))
        wanted.append(np.full(frames, whole))
        for joint, sign in ((a, -1.0), (b, 1.0)):
            for axis in (0, 1):
                rows.append(n * frames + np.arange(frames))
                columns.append(first + 2 * joint + axis)
                values.append(sign * unit[:, axis])
    shape = (len(segments) * frames, joints.size)
    slope = sparse.csr_array((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=shape)
    weighted = slope.T @ sparse.diags_array(np.concatenate(weights))
    return sparse.csr_array(weighted @ slope), np.asarray(weighted @ np.concatenate(wanted))


def _band(normal: sparse.csr_array, width: int) -> Array:
    """The lower band (width + 1, size) of a symmetric matrix."""
    band = np.zeros((width + 1, normal.shape[0]))
    entries = sparse.tril(normal).tocoo()
    band[entries.row - entries.col, entries.col] = entries.data
    return band
