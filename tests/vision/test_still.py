"""Still angles: what ends a stretch, and how sure its ends are."""

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from vision.still import Angles, ends_u, still_stretches

Array = NDArray[np.float64]

RATE = 30.0
TIME = np.arange(0, 12, 1 / RATE)


def angles(value: ArrayLike, sd: float = 0.0, placing: float = 0.0, time: Array = TIME) -> Angles:
    shown = np.broadcast_to(np.asarray(value, dtype=float), (1, len(time)))
    return Angles(time, shown, np.full_like(shown, sd), np.full_like(shown, placing))


def found(seen: Angles) -> list[tuple[float, float]]:
    return still_stretches(seen, slice(0, len(seen.time)))


def in_and_out(speed: float, time: Array = TIME) -> Array:
    """Comes to rest at 3 s and leaves at 9 s, at so many deg/s."""
    return np.maximum(0, 3 - time) * speed + np.maximum(0, time - 9) * speed


@pytest.mark.parametrize("rate", [12.0, 30.0, 60.0])
@pytest.mark.parametrize("speed", [23.0, 61.0])
def test_ends_lie_between_the_frames(rate: float, speed: float) -> None:
    time = np.arange(0, 12, 1 / rate)
    seen = angles(in_and_out(speed, time), time=time)
    assert found(seen) == [pytest.approx((3 - 5 / speed, 9 + 5 / speed), abs=1e-3)]


@pytest.mark.parametrize(
    ("out", "seconds", "count"),
    [(6.5, 0.6, 1), (7.5, 0.6, 2), (6.5, 1.4, 2)],
    ids=["within the noise", "more than the noise", "too long for noise"],
)
def test_what_the_noise_explains_does_not_end_it(out: float, seconds: float, count: int) -> None:
    """One degree of noise: the measurement cannot tell 6.5 degrees from 5, but it can tell 7.5."""
    value = np.where(np.abs(TIME - 6) < seconds / 2, out, 0.0)
    spans = found(angles(value, sd=1.0))
    assert len([span for span in spans if span[1] - span[0] > 3]) == count


def test_noise_does_not_move_the_ends() -> None:
    """An angle that leaves for good leaves at 5 degrees, however noisy it is."""
    assert found(angles(in_and_out(20.0), sd=2.0)) == found(angles(in_and_out(20.0)))


def test_a_slow_end_is_less_sure_than_a_fast_one() -> None:
    """8.3 degrees of doubt (8 of each end, 2 of the noise, 1 of the landmarks) at 20 deg/s are 0.42 s."""
    value = np.maximum(0, 3 - TIME) * 20 + np.maximum(0, TIME - 9) * 200
    seen = angles(value, sd=2.0, placing=1.0)
    ((start, end),) = found(seen)
    slow, fast = ends_u(seen, start, end)
    own = np.hypot(0.04, 1 / RATE / np.sqrt(12))
    assert slow == pytest.approx(np.hypot(own, np.sqrt(69) / 20), rel=0.02)
    assert fast < slow / 4


def test_the_clips_edge_is_no_doubt_of_an_angle() -> None:
    seen = angles(0.0, sd=3.0)
    assert ends_u(seen, 0.0, float(TIME[-1])) == pytest.approx([np.hypot(0.04, 1 / RATE / np.sqrt(12))] * 2)


def test_truth_lies_within_the_uncertainty() -> None:
    """Angles with lasting errors, drawn many times: the length of the hold lies within its U95 about 95 times of 100."""
    rng = np.random.default_rng(5)
    inside = []
    for _ in range(60):
        speeds = rng.uniform(15, 100, 2)
        wrong = rng.normal(0, 3, 2)  # the angle on the way in, and on the way out, against that in the hold
        value = np.maximum(0, 3 - TIME) * speeds[0] + np.maximum(0, TIME - 9) * speeds[1]
        value += np.where(value > 1, np.where(TIME < 6, *wrong), 0.0)
        seen = angles(value, sd=1.0, placing=2.0)
        start, end = max(found(seen), key=lambda span: span[1] - span[0])
        truth = 6 + 5 / speeds[0] + 5 / speeds[1]
        inside.append(abs(end - start - truth) <= 1.96 * np.hypot(*ends_u(seen, start, end)))
    assert np.mean(inside) >= 0.93


@pytest.mark.parametrize(("degrees", "count"), [(8.0, 1), (9.0, 2)], ids=["landmarks wander", "another posture"])
def test_a_change_that_landmarks_explain_does_not_part_a_hold(degrees: float, count: int) -> None:
    """Landmarks misplaced by 5 degrees wander by 0.35 of that: 5 degrees and 1.96 times 1.75 go unseen."""
    value = np.interp(TIME, [7.0, 7.5], [0.0, degrees])
    assert len(found(angles(value, placing=5.0))) == count
    assert len(found(angles(value))) == 2
