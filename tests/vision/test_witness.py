import numpy as np
import pytest

from models.movements import load_movement
from tests.vision.bodies import motion, push_up
from tests.vision.curves import Piece, curve
from vision.strokes import Travel, bounds, smooth_spline, threshold, travel
from vision.witness import as_told, body_path, outside

LOWERED = curve([Piece(1), Piece(2, 80), Piece(1)], start=8)
LATE = curve([Piece(1.5), Piece(1.5, 80), Piece(1)], start=8)


def whole_way(value: np.ndarray, time: np.ndarray) -> Travel:
    return travel(smooth_spline(time, value), 0.5, 3.5)


def test_the_body_goes_down_while_the_elbow_bends() -> None:
    time = LOWERED.frames(30)
    seen = motion(time, push_up(time, LOWERED.at(time), "left"), load_movement("push-up"), "left")
    path = body_path(seen, slice(0, len(time)))
    assert path.shape == time.shape
    assert abs(np.corrcoef(path, LOWERED.at(time))[0, 1]) > 0.95


def test_a_path_of_another_unit_agrees_on_the_ends() -> None:
    time = LOWERED.frames(30)
    turned = LOWERED.at(time)
    path = -3.7 * turned
    angle, told, seen = (whole_way(values, time) for values in (turned, as_told(turned, path), path))
    assert outside(threshold([angle]), angle, told, seen) == pytest.approx((0, 0), abs=0.01)


def test_a_body_that_hardly_moves_near_lockout_is_no_doubt() -> None:
    """By the law of cosines the shoulder's height changes with the square of a small bend."""
    time = LOWERED.frames(30)
    turned = LOWERED.at(time)
    path = np.cos(np.radians(turned / 2))
    angle, told, seen = (whole_way(values, time) for values in (turned, as_told(turned, path), path))
    v = threshold([angle])
    own, late = bounds(angle, v), bounds(seen, v * seen.range / angle.range)
    assert late.start - own.start > 0.04
    assert outside(v, angle, told, seen) == pytest.approx((0, 0), abs=0.02)


def test_a_body_that_travels_before_the_limb_sets_out_is_outside_there_only() -> None:
    time = LOWERED.frames(30)
    angle, seen = whole_way(LATE.at(time), time), whole_way(LOWERED.at(time), time)
    start, end = outside(threshold([angle]), angle, angle, seen)
    assert start == pytest.approx(0.5, abs=0.05)
    assert end == pytest.approx(0, abs=0.05)


def test_a_limb_that_turns_while_the_body_rests_is_no_doubt() -> None:
    time = LOWERED.frames(30)
    angle, seen = whole_way(LOWERED.at(time), time), whole_way(LATE.at(time), time)
    assert outside(threshold([angle]), angle, angle, seen) == pytest.approx((0, 0), abs=0.02)


def test_a_body_that_shows_no_end_leaves_the_whole_travel_open() -> None:
    time = LOWERED.frames(30)
    angle, on_and_on = whole_way(LOWERED.at(time), time), whole_way(10 * time, time)
    whole = angle.time[-1] - angle.time[0]
    assert outside(threshold([angle]), angle, angle, on_and_on) == pytest.approx((whole, whole))


def test_a_body_that_does_not_move_says_nothing() -> None:
    time = LOWERED.frames(30)
    angle = whole_way(LOWERED.at(time), time)
    assert outside(2.0, angle, angle, whole_way(np.zeros_like(time), time)) == (0, 0)
