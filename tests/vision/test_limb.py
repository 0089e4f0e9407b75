"""Limbs in space, seen from the side through a distant lens: what lies out of the picture plane is foreshortened."""

import numpy as np
import pytest
from numpy.typing import NDArray

from vision.angles import elbow_flexion
from vision.limb import STRAIGHT, UPPER_ARM, bend

Array = NDArray[np.float64]

LENGTH = 180.0
BUSY = np.ones(200, bool)


def arm(flexion: Array, flare: float = 0.0) -> tuple[Array, Array, Array]:
    """Shoulder, wrist (frames, 2) and the turn seen of an arm whose elbow flares by so many degrees toward the lens.

    Shoulder and wrist keep to one upright line of the picture; the elbow swings about it.
    """
    a, b = UPPER_ARM * LENGTH, (1 - UPPER_ARM) * LENGTH
    angle = np.radians(flexion)
    span = np.sqrt(a**2 + b**2 + 2 * a * b * np.cos(angle))
    at_shoulder = np.arccos(np.clip((a**2 + span**2 - b**2) / (2 * a * span), -1, 1)) * np.sign(angle)
    zero = np.zeros_like(span)
    shoulder, wrist = np.stack([zero, zero], axis=1), np.stack([zero, span], axis=1)
    out = a * np.sin(at_shoulder) * np.cos(np.radians(flare))
    elbow = np.stack([-out, a * np.cos(at_shoulder)], axis=1)
    return shoulder, wrist, elbow_flexion(shoulder, elbow, wrist, "right")


def flexing(most: float = 110.0, least: float = 3.0) -> Array:
    return least + (most - least) * (1 - np.cos(np.linspace(0, 4 * np.pi, len(BUSY)))) / 2


def test_in_the_picture_plane_both_ways_agree_with_the_truth() -> None:
    true = flexing()
    shoulder, wrist, turn = arm(true)
    assert turn == pytest.approx(true, abs=1e-6)
    assert bend(shoulder, wrist, turn, BUSY) == pytest.approx(true, abs=1e-3)


@pytest.mark.parametrize("flare", [20.0, 30.0, 45.0])
def test_an_elbow_that_flares_is_read_better_with_its_span(flare: float) -> None:
    true = flexing()
    shoulder, wrist, turn = arm(true, flare)
    found = bend(shoulder, wrist, turn, BUSY)
    bent = true > 80
    assert (turn[bent] < true[bent]).all()
    assert (np.abs(found - true)[bent] < 0.6 * np.abs(turn - true)[bent]).all()
    assert np.abs(found - true)[bent].max() < (6 if flare <= 30 else 10)


def test_near_lockout_the_turn_rules_and_hyperextension_stays_negative() -> None:
    true = flexing(100, -8)
    found = bend(*arm(true), BUSY)
    assert found.min() == pytest.approx(-8, abs=1.0)
    assert found[0] < 0


def test_a_limb_that_is_never_straight_does_not_tell_its_length() -> None:
    true = flexing(130, STRAIGHT + 15)
    shoulder, wrist, turn = arm(true)
    assert bend(shoulder, wrist, turn, BUSY) == pytest.approx(turn)


def test_noise_of_the_ends_moves_a_nearly_straight_limb_little() -> None:
    """There the span hardly tells the bend, so it is hardly asked."""
    shoulder, wrist, turn = arm(np.full(len(BUSY), 10.0))
    jitter = np.random.default_rng(1).normal(0, 0.02 * LENGTH, wrist.shape)
    error = np.abs(bend(shoulder, wrist + jitter, turn, BUSY) - 10)
    assert np.median(error) < 1
    assert np.percentile(error, 90) < 6


def test_only_busy_frames_tell_the_length() -> None:
    true = flexing()
    shoulder, wrist, turn = arm(true)
    away = np.arange(len(BUSY)) < 60
    shrunk = np.where(away[:, None], 0.5 * wrist, wrist)
    found = bend(shoulder, shrunk, turn, ~away)
    assert found[~away] == pytest.approx(true[~away], abs=1e-3)
