"""Smoothing and resampling of motion series."""

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

ORDER = 2
TWO_PASSES = (2**0.5 - 1) ** (1 / (2 * ORDER))
"""What running a 2nd-order Butterworth twice does to its cutoff: 0.802 (Winter 2009, section 3.4.4.2)."""


def low_pass(x: NDArray[np.float64], rate: float, cutoff: float, axis: int = 0) -> NDArray[np.float64]:
    """Low-pass without lag: 4th-order zero-phase Butterworth, 3 dB down at `cutoff`.

    A 2nd-order filter is run forwards and backwards; its own cutoff is raised so that the two runs together have the
    one asked for (Winter 2009, Biomechanics and Motor Control of Human Movement, section 3.4.4.2). Evenly sampled
    series without gaps; one NaN spoils its whole series.

    Args:
        x: Series, evenly sampled along `axis`.
        rate: Samples per second.
        cutoff: Effective cutoff in Hz.
        axis: The axis of time.

    Raises:
        ValueError: the cutoff is not between 0 and half the rate.
    """
    from scipy.signal import butter, sosfiltfilt  # takes as long to load as all the rest, and only holds need it

    if not 0 < cutoff < rate / 2:
        raise ValueError(f"a cutoff of {cutoff} Hz does not lie between 0 and half of {rate} samples/s")
    single_pass = np.arctan(np.tan(np.pi * cutoff / rate) / TWO_PASSES) * rate / np.pi
    sos = butter(ORDER, single_pass, fs=rate, output="sos")
    edge = min(x.shape[axis] - 1, int(np.ceil(2 * rate / cutoff)))
    return np.asarray(sosfiltfilt(sos, x, axis=axis, padlen=edge))


def without_trend(x: NDArray[np.float64], time: NDArray[np.float64] | None = None) -> NDArray[np.float64]:
    """The series (N, ...), of at least two samples, without its line of least squares; evenly sampled without times (N,)."""
    at = np.arange(len(x), dtype=np.float64) if time is None else time
    middle = at - at.mean()
    slope = np.tensordot(middle, x, 1) / np.sum(middle**2)
    return np.asarray(x - x.mean(axis=0) - np.multiply.outer(middle, slope))


def resample(
    time: NDArray[np.float64], x: NDArray[np.float64], rate: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The series at an even rate, by cubic spline: times (M,) from the first to the last, and values (M, ...).

    Args:
        time: Seconds (N,), strictly increasing, at least two.
        x: Values (N, ...) without gaps.
        rate: Samples per second asked for.
    """
    count = int(np.floor((time[-1] - time[0]) * rate + 1e-9)) + 1
    even = time[0] + np.arange(count) / rate
    return even, np.asarray(CubicSpline(time, x, axis=0)(even))
