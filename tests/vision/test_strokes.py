import numpy as np
import pytest
from numpy.typing import NDArray

from tests.vision.curves import Curve, Piece, Shape, curve
from vision.strokes import (
    FASTEST,
    SLOWEST,
    Bounds,
    Travel,
    bounds,
    smooth_spline,
    stops,
    thirds,
    threshold,
    time_to_travel,
    travel,
)

Array = NDArray[np.float64]

REST = 1.0
KERNEL = 0.045
"""Seconds by which smoothing lets a stroke that starts at once begin early, and end late, at most."""


def travelled(whole: Curve, frames: Array, turn: float, next_turn: float) -> Travel:
    return travel(smooth_spline(frames, whole.at(frames)), turn, next_turn)


def one(seconds: float, degrees: float, shape: Shape, creep: float = 0.0) -> Curve:
    """A stroke between two rests of a second that creep by so many degrees."""
    return curve([Piece(REST, creep), Piece(seconds, degrees, shape), Piece(REST, creep)], start=5.0)


@pytest.mark.parametrize("rate", [24.0, 30.0, 60.0])
@pytest.mark.parametrize("varies", [False, True], ids=["even", "varying"])
@pytest.mark.parametrize("shape", ["even", "smooth", "stop", "drop"])
@pytest.mark.parametrize(("seconds", "degrees"), [(0.8, 80.0), (3.0, 85.0), (5.0, -100.0)])
def test_bounds_by_the_definition(seconds: float, degrees: float, shape: Shape, *, varies: bool, rate: float) -> None:
    whole = one(seconds, degrees, shape)
    found = travelled(whole, whole.frames(rate, varies=varies), REST, REST + seconds)
    v = threshold([found])
    expected = whole.stroke(REST, REST + seconds)
    got = bounds(found, v)
    assert found.range == pytest.approx(abs(degrees), rel=0.02)
    assert found.mean_speed() == pytest.approx(expected.mean_speed, rel=0.06)
    assert got.start == pytest.approx(expected.start, abs=KERNEL)
    assert got.end == pytest.approx(expected.end, abs=KERNEL)


@pytest.mark.parametrize("shape", ["even", "smooth", "stop", "drop"])
@pytest.mark.parametrize("creep", [1.5, -1.5])
def test_pauses_that_creep_do_not_move_the_bounds(shape: Shape, creep: float) -> None:
    whole = one(3.0, 85.0, shape, creep)
    turns = (0.0, whole.time[-1]) if creep > 0 else (REST, REST + 3)
    found = travelled(whole, whole.frames(30), *turns)
    expected = whole.stroke(*turns)
    got = bounds(found, threshold([found]))
    assert got.start == pytest.approx(expected.start, abs=KERNEL)
    assert got.end == pytest.approx(expected.end, abs=KERNEL)


@pytest.mark.parametrize("shape", ["even", "smooth", "stop", "drop"])
@pytest.mark.parametrize("rate", [24.0, 60.0])
@pytest.mark.parametrize("slow", [True, False], ids=["slow", "white"])
def test_noise_of_a_third_of_a_degree_moves_the_bounds_little(shape: Shape, rate: float, *, slow: bool) -> None:
    whole = one(3.0, 85.0, shape)
    frames = whole.frames(rate)
    expected = whole.stroke(REST, REST + 3)
    off = []
    for seed in range(20):
        white = np.random.default_rng(seed).normal(0, 0.3, len(frames))
        noisy = whole.at(frames, 0.3, seed) if slow else whole.at(frames) + white
        found = travel(smooth_spline(frames, noisy), REST, REST + 3)
        got = bounds(found, threshold([found]))
        off += [got.start - expected.start, got.end - expected.end]
    assert np.median(np.abs(off)) < 0.05
    assert np.percentile(np.abs(off), 95) < 0.13


@pytest.mark.parametrize(("seconds", "degrees", "v"), [(10.0, 90.0, SLOWEST), (2.0, 80.0, 4.0), (0.5, 100.0, FASTEST)])
def test_v_is_a_tenth_of_the_mean_speed_within_limits(seconds: float, degrees: float, v: float) -> None:
    whole = one(seconds, degrees, "even")
    found = travelled(whole, whole.frames(60), REST, REST + seconds)
    assert threshold([found]) == pytest.approx(v, rel=0.06)


def test_the_slower_stroke_sets_v() -> None:
    slow, fast = one(4.0, 80.0, "even"), one(2.5, 80.0, "even")
    both = [travelled(w, w.frames(60), REST, REST + s) for w, s in ((slow, 4.0), (fast, 2.5))]
    assert threshold(both) == threshold(both[:1])
    assert threshold(both) < threshold(both[1:])


def test_a_stop_belongs_to_the_stroke_and_is_reported() -> None:
    whole = one(4.0, 80.0, "stop")
    found = travelled(whole, whole.frames(60), REST, REST + 4)
    v = threshold([found])
    got = bounds(found, v)
    assert got.end - got.start == pytest.approx(4.0, abs=2 * KERNEL)
    inside = (whole.time > got.start) & (whole.time < got.end)
    assert stops(found, v, got) == pytest.approx(np.count_nonzero(whole.speed[inside] < v) / 10_000, abs=0.12)


def test_a_stroke_without_a_stop_has_none() -> None:
    whole = one(3.0, 80.0, "even")
    found = travelled(whole, whole.frames(30), REST, REST + 3)
    assert stops(found, threshold([found]), bounds(found, threshold([found]))) < 0.02


@pytest.mark.parametrize(
    ("shape", "expected"), [("even", (1 / 3, 1 / 3, 1 / 3)), ("drop", (4 / 9, 4 / 9, 1 / 9))], ids=["even", "dropped"]
)
def test_thirds_show_a_drop(shape: Shape, expected: tuple[float, float, float]) -> None:
    whole = one(4.5, 90.0, shape)
    found = travelled(whole, whole.frames(60), REST, REST + 4.5)
    got = thirds(found, bounds(found, threshold([found])))
    assert sum(got) == pytest.approx(1.0, abs=1e-6)
    assert got == pytest.approx(expected, abs=0.03)


def test_a_stroke_under_way_when_the_clip_begins_has_no_start() -> None:
    whole = curve([Piece(2.0, 80.0), Piece(REST)])
    frames = whole.frames(30)
    frames = frames[frames > 0.4]
    got = bounds(travelled(whole, frames, frames[0], 2.0), 4.0)
    assert np.isnan(got.start)
    assert got.end == pytest.approx(2.0, abs=0.05)


def test_a_stroke_under_way_when_the_clip_ends_has_no_end() -> None:
    whole = curve([Piece(REST), Piece(2.0, 80.0), Piece(REST)])
    frames = whole.frames(30)
    frames = frames[frames < 2.5]
    got = bounds(travelled(whole, frames, REST, frames[-1]), 4.0)
    assert got.start == pytest.approx(REST, abs=0.05)
    assert np.isnan(got.end)


@pytest.mark.parametrize("before", [True, False], ids=["before", "after"])
def test_a_rest_that_creeps_for_long_is_still_a_rest(*, before: bool) -> None:
    """It may creep by more than a tenth of the range; the stroke is where the speed is."""
    rest = Piece(12.0, 14.0)
    pieces = [Piece(REST), rest, Piece(3.0, 80.0), Piece(REST)]
    if not before:
        pieces = [Piece(REST), Piece(3.0, 80.0), rest, Piece(REST)]
    whole = curve(pieces)
    found = travelled(whole, whole.frames(30), REST, REST + 15)
    got = bounds(found, threshold([found]))
    start = REST + 12 if before else REST
    assert (got.start, got.end) == pytest.approx((start, start + 3), abs=0.05)


def test_time_to_travel_is_long_where_a_stroke_creeps() -> None:
    """2 deg/s for the first second, then 40: two degrees take a second at the start and 0.05 s at the end."""
    time = np.arange(0, 4, 0.004)
    speed = np.where(time < 1, 0.0, np.where(time < 2, 2.0, np.where(time < 3, 40.0, 0.0)))
    way = np.cumsum(speed) * 0.004
    moved = Travel(time, way, speed, float(way[-1]), 250)
    assert time_to_travel(moved, Bounds(1.0, 3.0), 1.9) == pytest.approx((0.95, 0.0475), abs=0.01)
    assert time_to_travel(moved, Bounds(1.0, 3.0), 100.0) == pytest.approx((2.0, 2.0), abs=0.01)


@pytest.mark.parametrize("before", [True, False], ids=["settling in", "coming out"])
def test_a_long_rest_near_an_end_ends_the_stroke(*, before: bool) -> None:
    """A tenth of a second over the shortest such rest, with another eighth of the range travelled on its far side."""
    far = Piece(0.6, 12.0)
    pieces = [Piece(REST), Piece(3.0, 80.0), Piece(0.9), far, Piece(REST)]
    if before:
        pieces = [Piece(REST), far, Piece(0.9), Piece(3.0, 80.0), Piece(REST)]
    whole = curve(pieces)
    found = travelled(whole, whole.frames(30), REST, REST + 4.5)
    got = bounds(found, threshold([found]))
    start = REST + 1.5 if before else REST
    assert (got.start, got.end) == pytest.approx((start, start + 3), abs=0.05)


def test_a_stop_in_the_middle_ends_no_stroke() -> None:
    whole = curve([Piece(REST), Piece(1.5, 40.0), Piece(0.9), Piece(1.5, 40.0), Piece(REST)])
    found = travelled(whole, whole.frames(30), REST, REST + 3.9)
    got = bounds(found, threshold([found]))
    assert (got.start, got.end) == pytest.approx((REST, REST + 3.9), abs=0.05)
