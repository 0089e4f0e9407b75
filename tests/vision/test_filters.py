"""The low-pass against its own theory; resampling against functions known between the samples.

The published walking series of Winter 2009 (appendix tables A.1 raw, A.2 filtered) is not part of this repository:
its copyright is the publisher's. Run by hand on the ankle's x of A.1, this filter at 5 Hz gives the printed 1.2539,
1.3059, 1.4928 and 2.6677 m of A.2 at frames 28, 50, 70 and 97 within 0.1 mm; at 4.5 or 5.5 Hz it is 0.2-0.6 mm off.
"""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import signal

from vision.filters import low_pass, resample, without_trend


def amplitude(series: NDArray[np.float64], time: NDArray[np.float64], frequency: float) -> complex:
    """Complex amplitude of one frequency in the middle half of a series, by least squares."""
    middle = slice(len(time) // 4, -len(time) // 4)
    phase = 2 * np.pi * frequency * time[middle]
    basis = np.column_stack([np.cos(phase), np.sin(phase)])
    c, s = np.linalg.lstsq(basis, series[middle], rcond=None)[0]
    return complex(c, s)


@pytest.mark.parametrize("rate", [24, 30, 59.94, 240])
@pytest.mark.parametrize("cutoff", [3, 5, 8])
def test_cutoff_is_that_of_both_passes(rate: float, cutoff: float) -> None:
    """3 dB (0.7071) at the cutoff and no lag: Winter 2009, section 3.4.4.2."""
    time = np.arange(0, 20, 1 / rate)
    passed = amplitude(low_pass(np.cos(2 * np.pi * cutoff * time), rate, cutoff), time, cutoff)
    assert abs(passed) == pytest.approx(2**-0.5, abs=2e-4)
    assert np.angle(passed) == pytest.approx(0, abs=2e-4)


def test_fourth_order() -> None:
    """Far above the cutoff f the gain is (0.802 f_c / f)^4, for a rate high enough: 2nd-order Butterworth, squared."""
    time = np.arange(0, 20, 1 / 2000)
    passed = amplitude(low_pass(np.cos(2 * np.pi * 40 * time), 2000, 5), time, 40)
    nominal = 5 / 0.802243  # correction factor as printed by Winter 2009 for two passes
    assert abs(passed) == pytest.approx(1 / (1 + (40 / nominal) ** 4), rel=0.01)


def test_slow_motion_and_trend_pass() -> None:
    time = np.arange(0, 4, 1 / 60)
    slow = 10 * time + np.sin(2 * np.pi * 0.5 * time)
    np.testing.assert_allclose(low_pass(slow, 60, 5), slow, atol=0.01)


def test_the_line_of_least_squares_goes_from_uneven_times_too() -> None:
    rng = np.random.default_rng(2)
    time, x = np.sort(rng.uniform(0, 3, 40)), rng.normal(size=(40, 2))
    left = np.column_stack([x[:, k] - np.polyval(np.polyfit(time, x[:, k], 1), time) for k in (0, 1)])
    np.testing.assert_allclose(without_trend(x, time), left, atol=1e-12)


def test_without_trend_is_scipy_s_where_samples_are_even() -> None:
    path = np.random.default_rng(3).normal(size=(30, 2)).cumsum(axis=0)
    np.testing.assert_allclose(without_trend(path), signal.detrend(path, axis=0), atol=1e-12)


def test_axis_and_short_series() -> None:
    rng = np.random.default_rng(1)
    x = rng.normal(size=(3, 50))
    np.testing.assert_allclose(low_pass(x, 30, 5, axis=1), low_pass(x.T, 30, 5).T)
    assert low_pass(np.ones(1), 30, 5) == pytest.approx(1)
    assert low_pass(np.ones((4, 2)), 30, 5) == pytest.approx(1)


@pytest.mark.parametrize("cutoff", [0, 15, 16])
def test_impossible_cutoff(cutoff: float) -> None:
    with pytest.raises(ValueError, match="cutoff"):
        low_pass(np.zeros(30), 30, cutoff)


def test_resample_uneven_times() -> None:
    """A phone's uneven frames: a sine of 1 Hz is known between them."""
    rng = np.random.default_rng(2)
    time = np.cumsum(rng.uniform(0.02, 0.05, size=200))
    wave = np.column_stack([np.sin(2 * np.pi * time), np.cos(2 * np.pi * time)])
    even, values = resample(time, wave, 60)
    assert even[0] == time[0]
    assert time[-1] - even[-1] < 1 / 60
    np.testing.assert_allclose(np.diff(even), 1 / 60)
    inner = slice(3, -3)
    np.testing.assert_allclose(values[inner, 0], np.sin(2 * np.pi * even[inner]), atol=0.001)


def test_resample_at_its_own_rate_changes_nothing() -> None:
    time = np.arange(31) / 30
    x = np.random.default_rng(3).normal(size=31)
    even, values = resample(time, x, 30)
    np.testing.assert_allclose(even, time)
    np.testing.assert_allclose(values, x, atol=1e-12)
