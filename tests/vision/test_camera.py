from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from vision.camera import STILL, PhoneMotion, carry, phone_motion

Array = NDArray[np.float64]

SIZE = (1280, 720)
CENTRE = np.array(SIZE) / 2
POINTS = np.array([[100.0, 50.0], [900.0, 600.0], [640.0, 360.0]])


def pose(degrees: float, shift: tuple[float, float], scale: float = 1.0) -> Array:
    """(3, 3) that carries a point of the first picture to where a later one shows it: turned about the centre."""
    turn = np.radians(degrees)
    matrix = np.eye(3)
    matrix[:2, :2] = scale * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    matrix[:2, 2] = CENTRE - matrix[:2, :2] @ CENTRE + shift
    return matrix


def steps(poses: list[Array]) -> Array:
    """(frames, 2, 3) from each picture to the next."""
    between = [np.eye(3), *(after @ np.linalg.inv(before) for before, after in pairwise(poses))]
    return np.array(between)[:, :2]


def motion(poses: list[Array], points: int = 80) -> PhoneMotion:
    return phone_motion(steps(poses), np.full(len(poses), points), SIZE)


def test_carry_matches_leading_axes() -> None:
    shifts = np.tile(np.eye(2, 3), (4, 1, 1))
    shifts[:, 0, 2] = [0, 1, 2, 3]
    moved = carry(shifts[:, None], np.tile(POINTS, (4, 1, 1)))
    assert moved.shape == (4, 3, 2)
    assert moved[3] == pytest.approx(POINTS + [3, 0])


def test_carry_turns_before_it_shifts() -> None:
    quarter = np.array([[0.0, -1.0, 10.0], [1.0, 0.0, 20.0]])
    assert carry(quarter, np.array([3.0, 4.0])) == pytest.approx([10 - 4, 20 + 3])


def test_a_phone_on_a_stand_is_taken_as_still() -> None:
    random = np.random.default_rng(1)
    camera = np.tile(np.eye(2, 3), (300, 1, 1))
    camera[1:, :, 2] = random.normal(0, 0.02, (299, 2))
    found = phone_motion(camera, np.full(300, 100), SIZE)
    assert found.known
    assert found.shake == 0
    assert found.to_first == pytest.approx(np.tile(np.eye(2, 3), (300, 1, 1)))


def test_a_slow_drift_is_followed_though_each_step_is_small() -> None:
    """A tripod that sinks: below STILL from picture to picture, 18 pixels over the clip."""
    poses = [pose(0, (0.06 * i, 0)) for i in range(300)]
    assert STILL > 0.06
    found = motion(poses)
    assert carry(found.to_first[-1], carry(poses[-1][:2], POINTS)) == pytest.approx(POINTS, abs=1e-6)


def test_an_even_drift_is_no_shake() -> None:
    found = motion([pose(0, (0.5 * i, -0.2 * i)) for i in range(200)])
    assert found.known
    assert found.shake == pytest.approx(0, abs=1e-6)


def test_the_shake_is_the_rms_of_the_way_of_the_pictures_centre() -> None:
    t = np.arange(600) / 30
    poses = [pose(0.3 * np.sin(3 * x), (4 * np.sin(2 * np.pi * x), 3 * np.cos(2 * np.pi * x))) for x in t]
    # 20 whole turns of an ellipse with half axes 4 and 3 pixels: RMS distance sqrt((16 + 9) / 2).
    assert motion(poses).shake == pytest.approx(np.sqrt(12.5), rel=0.02)


def test_points_of_every_picture_are_carried_to_the_first() -> None:
    random = np.random.default_rng(2)
    poses = [np.eye(3), *(pose(r, (x, y), s) for r, x, y, s in random.normal([0, 0, 0, 1], [2, 30, 20, 0.02], (80, 4)))]
    found = motion(poses)
    seen = np.array([carry(p[:2], POINTS) for p in poses])
    assert carry(found.to_first[:, None], seen) == pytest.approx(np.tile(POINTS, (81, 1, 1)), abs=1e-6)


def test_from_first_is_the_inverse() -> None:
    random = np.random.default_rng(3)
    found = motion([pose(r, (x, y)) for r, x, y in random.normal(0, [2, 30, 20], (50, 3))])
    there = carry(found.from_first()[:, None], np.tile(POINTS, (50, 1, 1)))
    assert np.ptp(there, axis=0).max() > 10
    assert carry(found.to_first[:, None], there) == pytest.approx(np.tile(POINTS, (50, 1, 1)), abs=1e-6)


def test_a_plain_background_is_not_known() -> None:
    found = motion([np.eye(3)] * 60, points=0)
    assert not found.known
    assert found.shake == 0
    assert found.to_first == pytest.approx(np.tile(np.eye(2, 3), (60, 1, 1)))


def test_a_background_seen_in_most_pictures_is_known() -> None:
    background = np.full(60, 40)
    background[10:20] = 0
    assert phone_motion(steps([pose(0, (2.0 * i, 0)) for i in range(60)]), background, SIZE).known
