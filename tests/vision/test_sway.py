"""Formulas of posturography against a circle that can be worked out by hand, and against a library.

A published worked example on measured data (Quijoux et al. 2021) is not checked here: its data are not at hand.
"""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.typing import NDArray

from vision import sway
from vision.filters import low_pass

RATE = 100.0


@pytest.fixture
def circle() -> NDArray[np.float64]:
    """Radius 1, one turn per second, ten seconds."""
    turn = 2 * np.pi * np.arange(1000) / RATE
    return np.column_stack([np.cos(turn), np.sin(turn)])


@pytest.fixture
def wander() -> NDArray[np.float64]:
    """A random walk pulled back to its middle, as standing bodies move."""
    steps = np.random.default_rng(7).normal(size=(3000, 2)) @ np.array([[1, 0.3], [0, 0.6]])
    path: NDArray[np.float64] = np.zeros_like(steps)
    for i in range(1, len(steps)):
        path[i] = 0.98 * path[i - 1] + steps[i]
    return path


def test_circle(circle: NDArray[np.float64]) -> None:
    """Prieto 1996: TOTEX = 999 chords; MVELO over 9.99 s.

    Schubert & Kirchner 2014, chi-square form: both variances are 1000/999/2, so pi * 5.991 * that.
    """
    assert sway.length(circle) == pytest.approx(999 * 2 * np.sin(np.pi / 100))
    assert sway.mean_speed(circle, RATE) == pytest.approx(6.282152, abs=1e-6)
    assert sway.ellipse_area(circle) == pytest.approx(9.420791, abs=1e-6)


def test_line_has_no_area() -> None:
    assert sway.ellipse_area(np.column_stack([np.arange(9.0), np.arange(9.0)])) == pytest.approx(0, abs=1e-6)


def test_same_as_openbalance(wander: NDArray[np.float64]) -> None:
    """openbalance 0.1.5 (MIT; Hofstaetter et al. 2026, Sensors 26(19):6210), chi-square ellipse with n - 1."""
    kinematics = pytest.importorskip("openbalance.processing.kinematics")
    trial = SimpleNamespace(parameters={"COP_x": wander[:, 0], "COP_y": wander[:, 1]})
    kinematics.calculate_path_length(trial)
    kinematics.calculate_sway_areas(trial)
    assert sway.length(wander) == pytest.approx(trial.parameters["Path_Length"])
    assert sway.ellipse_area(wander) == pytest.approx(trial.parameters["Area_Ellipse"], rel=1e-6)


def test_rms_of_a_sine_without_its_trend() -> None:
    """Amplitude over root two; the athlete's slow drift and a tremor of 15 Hz do not count."""
    time = np.arange(0, 20, 1 / 60)
    along = 8 * np.sin(2 * np.pi * 0.8 * time) + 3 * time + 4 * np.sin(2 * np.pi * 15 * time)
    vertical = 2 * np.sin(2 * np.pi * 1.2 * time) - 100
    measured = sway.rms(np.column_stack([along, vertical]), 60, np.zeros(2))
    np.testing.assert_allclose(measured.value, [8 / 2**0.5, 2 / 2**0.5], rtol=0.02)
    assert measured.u == pytest.approx(0)


def test_one_wobble_does_not_set_the_median() -> None:
    time = np.arange(0, 25, 1 / 60)
    calm = np.sin(2 * np.pi * time)
    wobble = calm + np.where((time > 11) & (time < 12), 30 * np.sin(2 * np.pi * (time - 11)), 0)
    both = sway.rms(np.column_stack([calm, wobble]), 60, np.zeros(2)).value
    assert both[1] == pytest.approx(both[0], rel=0.3)


def test_noise_is_taken_out_in_quadrature() -> None:
    """White noise on a known motion: the truth lies within U95 about 95 times of 100, and its floor is found."""
    time = np.arange(0, 10, 1 / 60)
    clean = np.column_stack([5 * np.sin(2 * np.pi * 0.7 * time), 3 * np.sin(2 * np.pi * 0.9 * time)])
    truth = sway.rms(clean, 60, np.zeros(2)).value
    rng = np.random.default_rng(11)
    inside = []
    for _ in range(100):
        noisy = clean + rng.normal(scale=4, size=clean.shape)
        floor = sway.noise_floor(noisy, 60)
        np.testing.assert_allclose(floor, 4 * (5 / 30) ** 0.5, rtol=0.25)
        measured = sway.rms(noisy, 60, floor)
        inside += list(np.abs(measured.value - truth) <= 1.96 * measured.u)
    assert np.mean(inside) >= 0.9


def test_speed_and_ellipse_without_their_noise() -> None:
    """White noise on a wandering body: its own speed and area are found, where those measured are too large."""
    rng = np.random.default_rng(3)
    body = low_pass(rng.normal(scale=60, size=(3600, 2)), 60, 1.0)
    noisy = body + rng.normal(scale=2, size=body.shape)
    clean, still, noise = sway.still_path(body, 60), sway.still_path(noisy, 60), sway.noise_floor(noisy, 60)
    speed, true_speed = sway.mean_speed(still, 60), sway.mean_speed(clean, 60)
    assert speed > 1.05 * true_speed
    assert speed * sway.true_share_of_speed(still, 60, noise) == pytest.approx(true_speed, rel=0.03)
    area, _ = sway.ellipse_without(still, noise, 0.0, 0.0)
    assert area == pytest.approx(sway.ellipse_area(clean), rel=0.02)


def test_a_narrow_ellipse_is_less_sure() -> None:
    """By hand: 20 by 1 with 0.5 on each half axis; 18.82 sqrt((20 x 0.5)^2 + 0.5^2 + 0.25^2)."""
    turn = 2 * np.pi * np.arange(1000) / 1000
    path = np.column_stack([20 * np.cos(turn), np.sin(turn)]) * np.sqrt(2 * 999 / 1000)
    area, u = sway.ellipse_without(path, np.zeros(2), 0.0, 0.5)
    assert area == pytest.approx(18.823 * 20, rel=1e-3)
    assert u == pytest.approx(18.823 * np.sqrt(100 + 0.25 + 0.0625), rel=1e-3)


def test_no_value_below_the_floor() -> None:
    time = np.arange(0, 10, 1 / 30)
    path = np.column_stack([4 * np.sin(2 * np.pi * time), 0.5 * np.sin(2 * np.pi * time)])
    measured = sway.rms(path, 30, np.array([1.0, 1.0])).value
    assert measured[0] == pytest.approx((8 - 1) ** 0.5, rel=0.02)
    assert np.isnan(measured[1])


def test_too_few_frames() -> None:
    with pytest.raises(ValueError, match="20 frames/s"):
        sway.rms(np.zeros((100, 2)), 19.9, np.zeros(2))
