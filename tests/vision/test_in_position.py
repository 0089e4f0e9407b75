from dataclasses import replace

import numpy as np
import pytest

from models.document import Hold
from models.limit import Limit
from models.quantity import Measured, Q, Unmeasured
from tests.by_hand import motion, plank
from vision.in_position import time_above_zero, time_in_position
from vision.motion import Motion

U = 6 / 1.96  # the hold's elbow is given with U95 = 6 deg


def the_hold() -> Hold:
    return plank().sets[0].holds[0]


def bending() -> Motion:
    """A hold from 3 s to 11 s in which the elbow bends from 0 to 80 degrees, ten a second."""
    return motion([(3, 0), (11, 80)])


def seconds(q: Q) -> float:
    assert isinstance(q, Measured)
    assert q.unit == "s"
    return q.value


@pytest.mark.parametrize(
    ("limit", "expected"),
    [
        (Limit(high=35), 3.5),
        (Limit(low=35), 4.5),
        (Limit(low=20, high=50), 3.0),
        (Limit(high=90), 8.0),
        (Limit(low=90), 0.0),
    ],
)
def test_time_within_a_limit_on_a_line(limit: Limit, expected: float) -> None:
    found = time_in_position(bending())(the_hold(), {"elbow": limit}, 0.0)
    assert seconds(found) == pytest.approx(expected, abs=0.04)  # the first and the last frame lie up to 1/30 s inside


def test_a_margin_moves_the_limit_by_that_many_standard_uncertainties() -> None:
    inside = time_in_position(bending())
    limits = {"elbow": Limit(high=35)}
    assert seconds(inside(the_hold(), limits, 1.0)) == pytest.approx(3.5 - U / 10, abs=0.04)
    assert seconds(inside(the_hold(), limits, -1.0)) == pytest.approx(3.5 + U / 10, abs=0.04)


def test_all_limits_must_hold_at_once() -> None:
    limits = {"elbow": Limit(high=35), "knee": Limit(low=40)}
    assert seconds(time_in_position(bending())(the_hold(), limits, 0.0)) == 0.0


def test_what_lies_outside_the_hold_does_not_count() -> None:
    moved = motion([(0, 0), (15, 0)])
    found = time_in_position(moved)(the_hold(), {"elbow": Limit(high=10)}, 0.0)
    assert seconds(found) == pytest.approx(8.0, abs=0.04)


def test_the_uncertainty_is_that_of_the_ends_of_the_hold() -> None:
    found = time_in_position(bending())(the_hold(), {"elbow": Limit(high=35)}, 0.0)
    assert isinstance(found, Measured)
    assert found.U95 == 0.1


def test_an_angle_without_a_value_gives_its_reason() -> None:
    found = time_in_position(bending())(the_hold(), {"shoulder": Limit(high=35)}, 0.0)
    assert found == Unmeasured(reason="hidden from the side")


def test_a_tilt_that_the_movement_does_not_have_gives_a_reason() -> None:
    found = time_in_position(bending())(the_hold(), {"lean": Limit(high=35)}, 0.0)
    assert isinstance(found, Unmeasured)


def test_frames_need_not_be_even() -> None:
    time = np.array([0, 0.1, 1.0, 1.2])
    assert time_above_zero(time, np.array([-1, 0, 0, -1])) == pytest.approx(0.9)
    assert time_above_zero(time, np.array([1, -1, 1, 1])) == pytest.approx(0.05 + 0.45 + 0.2)
    assert time_above_zero(time[:1], np.array([1.0])) == 0.0


def test_fewer_frames_tell_the_same_time() -> None:
    full = bending()
    half = replace(full, time=full.time[::2], angles={name: values[::2] for name, values in full.angles.items()})
    limits = {"elbow": Limit(low=20, high=50)}
    assert seconds(time_in_position(half)(the_hold(), limits, 0.0)) == pytest.approx(3.0, abs=1e-6)
