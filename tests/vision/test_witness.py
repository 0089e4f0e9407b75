import numpy as np
import pytest

from models.movements import load_movement
from tests.vision.bodies import motion, push_up
from tests.vision.curves import Piece, curve
from vision.strokes import Bounds, Travel, bounds, smooth_spline, threshold, travel
from vision.witness import apart, body_path

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


def test_witnesses_in_different_units_agree_on_the_ends() -> None:
    time = LOWERED.frames(30)
    angle, body = whole_way(LOWERED.at(time), time), whole_way(-3.7 * LOWERED.at(time), time)
    v = threshold([angle])
    assert apart(bounds(angle, v), v, angle, body) == pytest.approx((0, 0), abs=0.01)


def test_a_limb_that_sets_out_late_is_apart_there_only() -> None:
    time = LOWERED.frames(30)
    angle, body = whole_way(LATE.at(time), time), whole_way(LOWERED.at(time), time)
    v = threshold([angle])
    start, end = apart(bounds(angle, v), v, angle, body)
    assert start == pytest.approx(0.5, abs=0.05)
    assert end == pytest.approx(0, abs=0.05)


def test_a_body_that_shows_no_end_leaves_the_whole_stroke_open() -> None:
    time = LOWERED.frames(30)
    angle = whole_way(LOWERED.at(time), time)
    on_and_on = whole_way(10 * time, time)
    v = threshold([angle])
    own = bounds(angle, v)
    assert apart(own, v, angle, on_and_on) == pytest.approx((own.end - own.start,) * 2)


def test_a_body_that_does_not_move_says_nothing() -> None:
    time = LOWERED.frames(30)
    angle = whole_way(LOWERED.at(time), time)
    assert apart(Bounds(1, 3), 2.0, angle, whole_way(np.zeros_like(time), time)) == (0, 0)
