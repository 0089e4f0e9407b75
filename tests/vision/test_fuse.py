import numpy as np
import pytest
from numpy.typing import NDArray

from vision.fuse import FREEDOM, ROUNDS, fuse

Array = NDArray[np.float64]

FREE = 1e6
"""An acceleration so large that the smoothness prior says nothing."""


def uneven(n: int, seed: int = 1) -> Array:
    """Frame times (n,) with steps between 15 and 60 ms."""
    return np.cumsum(np.random.default_rng(seed).uniform(0.015, 0.06, n))


def flow_of(path: Array) -> Array:
    """Displacement (n, axes) since the frame before; unknown in the first."""
    return np.concatenate([np.full((1, path.shape[1]), np.nan), np.diff(path, axis=0)])


def curve(time: Array) -> Array:
    return np.stack([200 + 80 * np.sin(2 * time), 300 + 30 * np.cos(5 * time)], axis=1)


def dense(
    time: Array, landmark: Array, sd: Array, flow: Array, flow_sd: Array, acceleration: float
) -> tuple[Array, Array]:
    """The same problem as the docstring states it: rows of a full matrix, solved by numpy."""
    n = len(time)
    seen = np.isfinite(landmark[:, 0])
    rows, right, kinds = [], [], []
    for i in range(n):
        if seen[i]:
            rows.append(np.eye(n)[i] / sd[i])
            right.append(landmark[i] / sd[i])
            kinds.append(i)
    for i in range(1, n):
        if np.isfinite(flow[i]).all() and np.isfinite(flow_sd[i]):
            rows.append((np.eye(n)[i] - np.eye(n)[i - 1]) / flow_sd[i])
            right.append(flow[i] / flow_sd[i])
            kinds.append(-1)
    for i in range(1, n - 1):
        span = (time[i + 1] - time[i - 1]) / 2
        faster = (np.eye(n)[i + 1] - np.eye(n)[i]) / (time[i + 1] - time[i])
        slower = (np.eye(n)[i] - np.eye(n)[i - 1]) / (time[i] - time[i - 1])
        rows.append((faster - slower) / span * np.sqrt(span) / acceleration)
        right.append(np.zeros(landmark.shape[1]))
        kinds.append(-1)
    matrix, target, frame = np.array(rows), np.array(right), np.array(kinds)
    scale = np.ones(n)
    for _ in range(ROUNDS):
        weight = np.where(frame >= 0, np.sqrt(scale[frame]), 1.0)[:, None]
        position = np.linalg.lstsq(matrix * weight, target * weight, rcond=None)[0]
        inverse = np.linalg.inv((matrix * weight).T @ (matrix * weight))
        miss = np.nansum(((landmark - position) / sd[:, None]) ** 2, axis=1)
        scale = (FREEDOM + 2) / (FREEDOM + miss)
    return position, np.sqrt(np.diag(inverse))


def noisy(n: int, seed: int) -> tuple[Array, Array, Array, Array, Array]:
    """Times, landmarks at every third frame with a gap, their sd, flow with a gap, its sd."""
    random = np.random.default_rng(seed)
    time = uneven(n, seed)
    path = curve(time)
    sd = random.uniform(2, 6, n)
    landmark = path + random.normal(size=(n, 2)) * sd[:, None]
    landmark[np.arange(n) % 3 > 0] = np.nan
    landmark[n // 2 : n // 2 + 9] = np.nan
    flow_sd = random.uniform(0.1, 0.4, n)
    flow = flow_of(path) + random.normal(size=(n, 2)) * flow_sd[:, None]
    flow[n // 4 : n // 4 + 5] = np.nan
    flow_sd[n // 4 : n // 4 + 5] = np.inf
    return time, landmark, sd, flow, flow_sd


def test_a_straight_path_comes_back_exactly() -> None:
    time = uneven(80)
    path = np.stack([100 + 40 * time, 500 - 15 * time], axis=1)
    found, _ = fuse(time, path, np.full(80, 5.0), flow_of(path), np.full(80, 0.05), 50.0)
    assert found == pytest.approx(path, abs=1e-5)


def test_a_curved_path_comes_back_when_the_prior_is_silent() -> None:
    time = uneven(80)
    path = curve(time)
    found, _ = fuse(time, path, np.full(80, 5.0), flow_of(path), np.full(80, 0.05), FREE)
    assert found == pytest.approx(path, abs=1e-3)


@pytest.mark.parametrize("acceleration", [30.0, 3000.0])
@pytest.mark.parametrize("seed", [2, 3])
def test_position_and_sd_equal_those_of_the_full_matrix(acceleration: float, seed: int) -> None:
    problem = noisy(70, seed)
    position, sd = fuse(*problem, acceleration)
    expected_position, expected_sd = dense(*problem, acceleration)
    assert position == pytest.approx(expected_position, abs=1e-4)
    assert sd == pytest.approx(expected_sd, rel=1e-4)


def test_three_axes_are_smoothed_alike() -> None:
    time = uneven(40)
    path = np.stack([time, 2 * time, 1 - time], axis=1)
    found, sd = fuse(time, path, np.full(40, 0.03), np.full((40, 3), np.nan), np.full(40, np.inf), 1.5)
    assert found == pytest.approx(path, abs=1e-5)
    assert sd.shape == (40,)


def test_a_landmark_far_off_moves_the_track_little() -> None:
    time = np.arange(90) / 30
    path = curve(time)
    flow, flow_sd, sd = flow_of(path), np.full(90, 0.2), np.full(90, 5.0)
    landmark = path.copy()
    landmark[45] += [300, -200]
    found, _ = fuse(time, landmark, sd, flow, flow_sd, FREE)
    plain_mean = 300 / 90
    assert np.abs(found - path).max() < 0.1 * plain_mean


def test_a_gap_without_landmarks_is_bridged_by_flow() -> None:
    time = uneven(120)
    path = curve(time)
    landmark = path.copy()
    landmark[30:90] = np.nan
    found, sd = fuse(time, landmark, np.full(120, 2.0), flow_of(path), np.full(120, 0.05), FREE)
    assert found == pytest.approx(path, abs=0.01)
    assert sd[60] > sd[10]


def test_a_gap_without_anything_is_bridged_smoothly() -> None:
    time = np.arange(60) / 30
    path = np.stack([100 + 30 * time, 200 + 10 * time], axis=1)
    landmark, flow, flow_sd = path.copy(), flow_of(path), np.full(60, 0.1)
    landmark[25:35], flow[25:36], flow_sd[25:36] = np.nan, np.nan, np.inf
    found, sd = fuse(time, landmark, np.full(60, 2.0), flow, flow_sd, 100.0)
    assert found == pytest.approx(path, abs=1e-4)
    assert sd[30] > 2 * sd[10]


def test_flow_alone_drifts_as_the_root_of_the_frames() -> None:
    n, f, s = 100, 0.3, 0.5
    time = np.arange(n) / 30
    landmark = np.full((n, 2), np.nan)
    landmark[0] = [10, 20]
    flow = np.tile([1.0, -0.5], (n, 1))
    found, sd = fuse(time, landmark, np.full(n, s), flow, np.full(n, f), FREE)
    assert found[-1] == pytest.approx(np.array([10, 20]) + (n - 1) * np.array([1, -0.5]), abs=1e-3)
    # One landmark that fits perfectly gets weight (nu + 2) / nu; each step of flow adds its variance.
    assert sd**2 == pytest.approx(s**2 * FREEDOM / (FREEDOM + 2) + f**2 * np.arange(n), rel=1e-3)


def test_flow_between_two_landmarks_is_a_bridge() -> None:
    """Variance of a random walk tied at both ends: k (n - k) / n steps."""
    n, f = 61, 0.3
    landmark = np.full((n, 2), np.nan)
    landmark[0] = landmark[-1] = 0.0
    _, sd = fuse(np.arange(n) / 30, landmark, np.full(n, 1e-3), np.zeros((n, 2)), np.full(n, f), FREE)
    k = np.arange(n)
    assert sd[1:-1] ** 2 == pytest.approx((f**2 * k * (n - 1 - k) / (n - 1))[1:-1], rel=1e-3)


def test_the_stated_sd_is_the_size_of_the_error() -> None:
    n, s, f = 240, 4.0, 0.15
    time = np.arange(n) / 30
    path = curve(time)
    errors = []
    for seed in range(12):
        random = np.random.default_rng(seed)
        landmark = path + random.normal(0, s, path.shape)
        flow = flow_of(path) + random.normal(0, f, path.shape)
        found, sd = fuse(time, landmark, np.full(n, s), flow, np.full(n, f), FREE)
        errors.append((found - path) / sd[:, None])
    assert np.sqrt(np.mean(np.square(errors))) == pytest.approx(1.0, abs=0.15)


def test_uneven_times_do_not_bend_an_even_pace() -> None:
    random = np.random.default_rng(5)
    time = np.cumsum(random.choice([0.01, 0.05, 0.2], 60))
    path = np.stack([50 * time, 10 - 20 * time], axis=1)
    landmark = path.copy()
    landmark[np.arange(60) % 4 > 0] = np.nan
    nothing = np.full((60, 2), np.nan), np.full(60, np.inf)
    found, _ = fuse(time, landmark, np.full(60, 3.0), *nothing, 20.0)
    assert found == pytest.approx(path, abs=1e-4)


@pytest.mark.parametrize("n", [1, 2, 3])
def test_few_frames(n: int) -> None:
    time = np.arange(n) / 30
    path = np.stack([time, time], axis=1) + 5
    found, sd = fuse(time, path, np.ones(n), flow_of(path), np.ones(n), 10.0)
    assert found == pytest.approx(path, abs=1e-6)
    assert np.isfinite(sd).all()
