"""Sway of a still body: how its centre of mass wanders.

Inputs are paths (N, 2), evenly sampled, column 0 along the floor and column 1 vertical; outputs keep their unit.

Sources: Prieto TE, Myklebust JB, Hoffmann RG, Lovett EG, Myklebust BM (1996) Measures of postural steadiness. IEEE
Trans Biomed Eng 43(9):956-966; Schubert P, Kirchner M (2014) Ellipse area calculations and their applicability in
posturography. Gait Posture 39(1):518-522.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri

from vision.filters import TWO_PASSES, low_pass, without_trend

CUTOFF = 5.0
WINDOW = 5.0
LOWEST_RATE = 20.0

Path = NDArray[np.float64]


@dataclass(frozen=True)
class Rms:
    """Root mean square along the floor and vertical, (2,); NaN on an axis where the noise hides the motion."""

    value: NDArray[np.float64]
    u: NDArray[np.float64]


def length(path: Path) -> float:
    """Length of the whole path (TOTEX, Prieto 1996)."""
    return float(np.sum(np.linalg.norm(np.diff(path, axis=0), axis=1)))


def mean_speed(path: Path, rate: float) -> float:
    """Length over duration (MVELO, Prieto 1996), the duration being (N - 1) / rate."""
    return length(path) * rate / (len(path) - 1)


def ellipse_area(path: Path, coverage: float = 0.95) -> float:
    """Area of the prediction ellipse in its chi-square form, covariance with N - 1 (Schubert & Kirchner 2014)."""
    covariance = np.cov(path, rowvar=False)
    determinant = max(float(np.linalg.det(covariance)), 0.0)
    return float(np.pi * chdtri(2, 1 - coverage) * np.sqrt(determinant))


def ellipse_without(path: Path, noise: NDArray[np.float64], share: float, wander: float) -> tuple[float, float]:
    """The same area without the noise, and its standard uncertainty.

    Both half axes of the ellipse are uncertain by a share of themselves and, in quadrature, by what else wanders: a narrow
    ellipse is mostly noise, and its area so much less sure than its length.

    Args:
        path: (N, 2).
        noise: RMS of the noise that can be told, (2,).
        share: Standard uncertainty of any width, as a share of it.
        wander: The same of a width of nothing, in the path's unit.
    """
    spread = np.linalg.eigvalsh(np.cov(path, rowvar=False) - np.diag(noise**2))
    short, long = np.sqrt(np.maximum(spread, 0))
    short_u, long_u = np.hypot(share * np.array([short, long]), wander)
    factor = np.pi * chdtri(2, 0.05)
    u = np.sqrt((long * short_u) ** 2 + (short * long_u) ** 2 + (short_u * long_u) ** 2)
    return float(factor * short * long), float(factor * u)


def true_share_of_speed(path: Path, rate: float, noise: NDArray[np.float64]) -> float:
    """What share of the speed along a `still_path` is not noise.

    Speeds of body and noise add in quadrature. White noise that the low-pass has gone over, |H|^2 = 1 / (1 + (f/g)^4)^2 with g
    the single pass's cutoff, moves at a mean square speed of (2 pi)^2 times its density times the integral of f^2 |H|^2, which
    is g^3 pi / (8 sqrt 2).
    """
    speed = np.mean(np.sum((np.diff(path, axis=0) * rate) ** 2, axis=1))
    density = np.sum(noise**2) / CUTOFF
    noisy = (2 * np.pi) ** 2 * density * (CUTOFF / TWO_PASSES) ** 3 * np.pi / (8 * 2**0.5)
    return float(np.sqrt(max(1 - noisy / speed, 0.0))) if speed > 0 else 1.0


def still_path(path: Path, rate: float) -> Path:
    """The path without its linear trend and without what is faster than 5 Hz."""
    return low_pass(without_trend(path), rate, CUTOFF)


def noise_floor(path: Path, rate: float) -> NDArray[np.float64]:
    """RMS (2,) of the noise that stays in a `still_path`, judged by what is faster than 5 Hz.

    A body cannot shake much above 5 Hz, so what is found there is taken as the landmarks' own noise and its density as
    the same below. Slow wandering of landmarks does not show here: the floor is a lower bound.
    """
    _check_rate(rate)
    level = without_trend(path)
    fast = level - low_pass(level, rate, CUTOFF)
    return np.asarray(np.sqrt(np.mean(fast**2, axis=0) * CUTOFF / (rate / 2 - CUTOFF)))


def rms(path: Path, rate: float, noise: NDArray[np.float64]) -> Rms:
    """RMS of the still path per axis: the median over windows of 5 s, the noise floor taken out in quadrature.

    A hold under 10 s is one window. `u` holds what the noise does to this hold's value; scale and noise floor itself
    are the caller's.

    Args:
        path: (N, 2), evenly sampled, shake of the camera already taken out.
        rate: Samples per second.
        noise: RMS of the noise left after the low-pass, (2,).

    Raises:
        ValueError: fewer than 20 samples per second.
    """
    _check_rate(rate)
    smooth = still_path(path, rate)
    windows = np.array_split(smooth, max(1, int(len(smooth) / (rate * WINDOW))))
    power = np.median([np.mean(window**2, axis=0) for window in windows], axis=0)
    true_power = power - noise**2
    value = np.sqrt(np.where(true_power > noise**2, true_power, np.nan))
    samples = 2 * CUTOFF * len(path) / rate
    u = noise * np.sqrt(1 + noise**2 / (2 * value**2)) / np.sqrt(samples)
    return Rms(value, u)


def _check_rate(rate: float) -> None:
    if rate < LOWEST_RATE:
        raise ValueError(f"sway needs at least {LOWEST_RATE:g} frames/s, this series has {rate:.1f}")
