"""The height of the shoulders over the hands, which drives a muscle-up."""

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import load_movement
from models.quantity import Measured, Unmeasured
from tests.vision.bodies import SIZE, Pose, blend, figure, motion
from vision.level import assumed
from vision.phases import time_in_phases
from vision.posture import posture
from vision.reps import describe, find_cycles
from vision.summary import summarise

Array = NDArray[np.float64]

TIME = np.arange(0, 16, 1 / 30)
MUSCLE_UP = load_movement("muscle-up")
HANG, SUPPORT = 1.0, 8.0


def muscle_up(time: Array, near: Side = "left") -> Array:
    """From a hang to a support in 3 s, 3 s above, down in 4 s: the arms fold and unfold while they turn to the trunk's side."""
    share = blend(time, [(0, 0), (3, 0), (6, 1), (9, 1), (13, 0), (16, 0)])
    return figure(time, Pose(0, 180 * (1 - share), 5 + 120 * np.sin(np.pi * share)), near, "wrist")


@pytest.mark.parametrize("near", ["left", "right"])
def test_reach_goes_from_the_hang_to_the_support(near: Side) -> None:
    seen = motion(TIME, muscle_up(TIME, near), MUSCLE_UP, near)
    reach = seen.angles["reach"]
    assert reach[TIME < 3] == pytest.approx(-100, abs=1)
    assert reach[(TIME > 6) & (TIME < 9)] == pytest.approx(100, abs=1)
    middle = np.argmin(np.abs(TIME - 4.5))  # the upper arm is level there, the forearm upright above its end
    assert abs(reach[middle]) < 50


def test_an_arm_out_of_the_picture_does_not_shorten_the_scale() -> None:
    """The arm's length is what shows of it at its longest, so that a bent or flared arm reaches less high, not more."""
    time = TIME[:300]
    joints = figure(time, Pose(0, 0, blend(time, [(0, 5), (2, 5), (4, 90), (10, 90)])), "left", "wrist")
    reach = motion(time, joints, MUSCLE_UP).angles["reach"]
    assert reach[0] == pytest.approx(100, abs=1)
    assert reach[-1] < 60


def test_one_muscle_up_is_one_rep_although_the_elbow_bends_twice() -> None:
    seen = motion(TIME, muscle_up(TIME), MUSCLE_UP)
    cycles = find_cycles(seen, MUSCLE_UP)
    (rep,) = describe(seen, MUSCLE_UP, assumed(SIZE), cycles)
    assert rep.status == "whole"
    assert rep.lowering is not None
    assert rep.raising is not None
    lowering, raising = rep.lowering.duration, rep.raising.duration
    assert isinstance(lowering, Measured)
    assert isinstance(raising, Measured)
    assert 3.0 < lowering.value < 4.0  # straight arms that begin to bend lower the body little at first
    assert 2.2 < raising.value < 3.0
    transition = {name: stroke.phases["transition"] for name, stroke in (("down", rep.lowering), ("up", rep.raising))}
    assert all(isinstance(each, Measured) for each in transition.values())
    assert isinstance(rep.straight.reach, Measured)
    assert isinstance(rep.bent.reach, Measured)
    assert rep.straight.reach.unit == "%"
    assert rep.straight.reach.value == pytest.approx(-100, abs=3)
    assert rep.bent.reach.value == pytest.approx(100, abs=3)
    assert rep.bent.reach.u >= 3.5
    summary = summarise(MUSCLE_UP, [rep, rep, rep], [])
    assert summary.range.by_rep[0] == pytest.approx(200, abs=6)
    assert isinstance(summary.range.slope, Measured)
    assert summary.range.slope.unit == "%"


def test_only_what_reach_drives_tells_it() -> None:
    pull_up = load_movement("pull-up")
    seen = motion(TIME, muscle_up(TIME), pull_up)
    assert posture(seen, pull_up, HANG, HANG + 1).reach is None


def test_time_in_the_transition_is_that_between_the_edges_of_its_band() -> None:
    """Rises evenly from -90 % to 90 % in 6 s: the band from -20 % to 40 % takes a third of that."""
    seen = motion(TIME, muscle_up(TIME), MUSCLE_UP)
    seen.angles["reach"][:] = np.clip(-90 + 30 * (TIME - 2), -90, 90)
    for start, end, seconds in ((2.0, 8.0, 2.0), (2.0, 5.0, 2 / 3), (0.0, 2.0, 0.0)):
        found = time_in_phases(seen, MUSCLE_UP, start, end)["transition"]
        assert isinstance(found, Measured)
        assert found.value == pytest.approx(seconds, abs=0.04)
    whole = time_in_phases(seen, MUSCLE_UP, 2.0, 8.0)["transition"]
    assert isinstance(whole, Measured)
    assert whole.u == pytest.approx(np.sqrt(2) * 3.5 / 30, rel=0.2)  # 3.5 % at 30 %/s, at either edge


def test_a_movement_without_phases_tells_none() -> None:
    pull_up = load_movement("pull-up")
    assert time_in_phases(motion(TIME, muscle_up(TIME), pull_up), pull_up, 0, 5) == {}


def test_a_view_from_the_front_shows_no_phase() -> None:
    turned = motion(TIME, muscle_up(TIME), MUSCLE_UP, yaw=80)
    assert isinstance(time_in_phases(turned, MUSCLE_UP, 3, 6)["transition"], Unmeasured)
