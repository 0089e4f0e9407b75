"""The centre of mass of poses that can be added up by hand with de Leva 1996 (men)."""

import numpy as np
import pytest
from numpy.typing import NDArray

from vision.mass import centre_of_mass, joint_weights
from vision.skeleton import INDEX, JOINTS


def body(heights: dict[str, float]) -> NDArray[np.float64]:
    joints = np.zeros((len(JOINTS), 3))
    for name, height in heights.items():
        for side in ("left", "right"):
            joints[INDEX[f"{side}_{name}"], 2] = height
    return joints


STANDING: dict[str, float] = {
    "ear": 170,
    "shoulder": 145,
    "elbow": 115,
    "wrist": 90,
    "index": 80,
    "hip": 93,
    "knee": 50,
    "ankle": 8,
    "heel": 0,
    "toe": 0,
}


def test_standing_by_hand() -> None:
    """Heights in cm of the segment centres times their masses, summed below in plain numbers."""
    head = 0.0694 * 170
    trunk = 0.4346 * (145 - 0.4310 * 52)
    arms = 2 * (0.0271 * (145 - 0.5772 * 30) + 0.0162 * (115 - 0.4574 * 25) + 0.0061 * (90 - 0.79 * 10))
    legs = 2 * (0.1416 * (93 - 0.4095 * 43) + 0.0433 * (50 - 0.4395 * 42))
    assert centre_of_mass(body(STANDING), "men")[2] == pytest.approx(head + trunk + arms + legs)
    # about 55-57 % of a height of 181 cm in a standing man: common practice, no source
    assert 0.54 < (head + trunk + arms + legs) / 181 < 0.58


def test_one_arm_forward_moves_it_by_the_arm() -> None:
    """A straight arm of 2 x 30 cm and a hand of 10 raised to the front, all else in place."""
    joints = body(STANDING)
    for name, forward in (("elbow", 30), ("wrist", 60), ("index", 70)):
        joints[INDEX[f"left_{name}"]] = (forward, 0, 145)
    x = 0.0271 * 0.5772 * 30 + 0.0162 * (30 + 0.4574 * 30) + 0.0061 * (60 + 0.79 * 10)
    assert centre_of_mass(joints, "men")[0] == pytest.approx(x)


def test_weights_sum_to_one_and_move_with_the_body() -> None:
    assert joint_weights().sum() == pytest.approx(1)
    joints = np.random.default_rng(5).normal(size=(40, len(JOINTS), 2))
    step = np.array([3, -2])
    np.testing.assert_allclose(centre_of_mass(joints + step), centre_of_mass(joints) + step)


def test_a_missing_joint_is_not_guessed() -> None:
    joints = body(STANDING)
    joints[INDEX["left_knee"]] = np.nan
    assert np.isnan(centre_of_mass(joints)).all()
    joints = body(STANDING)
    joints[INDEX["nose"]] = np.nan  # carries no mass
    assert np.isfinite(centre_of_mass(joints)).all()
