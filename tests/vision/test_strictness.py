from dataclasses import replace

import numpy as np
import pytest

from models.checks import check, value_of
from models.document import Rep, Side
from models.limit import Limit
from models.movements import load_movement
from models.quantity import Measured, Q, Unmeasured
from tests.vision.bodies import SIZE, TALL, Pose, blend, figure, motion
from tests.vision.lens import Lens, filmed
from vision.breadth import BREADTH, breadth_in
from vision.level import assumed
from vision.plane import eye_of
from vision.reps import describe, find_cycles
from vision.skeleton import INDEX
from vision.strictness import hip_range, swing

TIME = np.arange(0, 4, 1 / 30)
PULL_UP = load_movement("pull-up")
NEAR: tuple[Side, Side] = ("left", "right")
LENSES = [Lens(), Lens(3, 0.2, pitch=15)]


def value(q: Q) -> float:
    assert isinstance(q, Measured)
    return q.value


def hanging(forward: np.ndarray, hip: np.ndarray, near: Side) -> np.ndarray:
    return figure(TIME, Pose(forward, 180 - 10.0, 20.0, hip, 30.0), near, "wrist", (0.0, -2.2))


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", LENSES)
def test_hips_that_travel_are_measured_along_the_floor(near: Side, lens: Lens) -> None:
    """The whole body turns about the hands by 12 degrees; hips hang so far below that they travel 0.2 of height and more."""
    forward = blend(TIME, [(0, -6), (1, -6), (2, 6), (4, 6)])
    joints = hanging(forward, np.zeros(len(TIME)), near)
    hips = joints[:, INDEX[f"{near}_hip"], 0]
    seen = filmed(TIME, joints, PULL_UP, near, lens)
    measured = swing(seen, 0.5, 3)
    assert isinstance(measured, Measured)
    assert measured.unit == "% of height"
    assert measured.value == pytest.approx(100 * np.ptp(hips) / TALL, abs=0.3)
    assert measured.value > 5
    assert value(swing(seen, 2.2, 3.5)) < 0.3


def test_a_body_that_moves_with_its_hands_does_not_swing() -> None:
    joints = hanging(np.zeros(len(TIME)), np.zeros(len(TIME)), "left")
    joints[:, :, 0] += 0.3 * np.sin(TIME)[:, None]
    assert value(swing(filmed(TIME, joints, PULL_UP), 0.0, 4.0)) == pytest.approx(0, abs=0.02)


@pytest.mark.parametrize("near", NEAR)
def test_the_range_of_the_hip_angle(near: Side) -> None:
    bent = blend(TIME, [(0, -15), (1, -15), (2, 50), (4, 50)])
    seen = motion(TIME, hanging(np.zeros(len(TIME)), bent, near), PULL_UP, near)
    measured = hip_range(seen, 0.5, 3.0)
    assert isinstance(measured, Measured)
    assert measured.unit == "deg"
    assert measured.value == pytest.approx(65, abs=0.5)
    assert measured.U95 > 1.96 * 3.8
    assert value(hip_range(seen, 2.2, 3.0)) == pytest.approx(0, abs=0.1)


def test_a_landmark_that_jumps_in_one_frame_is_no_kip() -> None:
    seen = motion(TIME, hanging(np.zeros(len(TIME)), np.full(len(TIME), 5.0), "left"), PULL_UP)
    seen.angles["hip"][60] = 80
    assert value(hip_range(seen, 0.0, 4.0)) == pytest.approx(0, abs=0.1)


def test_no_value_where_the_view_or_the_frames_show_none() -> None:
    joints = hanging(np.zeros(len(TIME)), np.zeros(len(TIME)), "left")
    turned = motion(TIME, joints, PULL_UP, yaw=60)
    for measure in (swing, hip_range):
        refused = measure(turned, 0.0, 4.0)
        assert isinstance(refused, Unmeasured)
        assert "film from the side" in refused.reason
        few = measure(motion(TIME, joints, PULL_UP), 1.001, 1.002)
        assert isinstance(few, Unmeasured)
        assert "fewer than two frames" in few.reason


def pull_ups(kick: float) -> Rep:
    """One pull-up whose hips bend by `kick` degrees on the way up and stretch again."""
    time = np.arange(0, 8, 1 / 30)
    elbow = blend(time, [(0, 8), (1, 8), (2, 118), (3, 118), (6, 8), (8, 8)])
    hip = blend(time, [(0, 0), (1, 0), (1.5, kick), (2, 0), (8, 0)])
    joints = figure(time, Pose(-3, 180 - elbow / 2, elbow, hip, 40), "left", "wrist")
    seen = motion(time, joints, PULL_UP)
    (rep,) = describe(seen, PULL_UP, assumed(SIZE), find_cycles(seen, PULL_UP))
    return rep


def test_strict_and_kipped_strokes_of_a_rep_are_told_apart_and_can_be_limited() -> None:
    strict, kipped = pull_ups(0), pull_ups(50)
    for rep in (strict, kipped):
        assert rep.status == "whole"
        assert rep.raising is not None
        assert rep.lowering is not None
        assert rep.lowering.hip_range is not None
        assert value(rep.lowering.hip_range) == pytest.approx(0, abs=1)
    assert value(value_of(strict, "hip_range")) == pytest.approx(0, abs=1)
    assert value(value_of(kipped, "hip_range")) == pytest.approx(50, abs=3)
    assert value_of(kipped, "hip_range") == kipped.raising.hip_range  # type: ignore[union-attr]


@pytest.mark.parametrize(("name", "met"), [("swing", Limit(high=60)), ("hip_range", Limit(high=90))])
def test_a_measured_rep_can_be_ruled_on_in_the_unit_of_its_limit(name: str, met: Limit) -> None:
    rep = pull_ups(0)
    assert check(name, value_of(rep, name), met).verdict == "met"
    assert check(name, value_of(rep, name), Limit(low=95)).verdict == "missed"


def test_in_a_frontal_plane_both_hips_count_against_both_hands() -> None:
    """A flag: the upper hip swings further than the lower one, the hands stay one above the other."""
    seen = motion(TIME, hanging(np.zeros(len(TIME)), np.zeros(len(TIME)), "left"), PULL_UP)
    rays = seen.rays.copy()
    share = blend(TIME, [(0, 0), (1, 0), (2, 1), (4, 1)])
    for side, way in (("left", 0.2), ("right", 0.1)):
        rays[:, INDEX[f"{side}_hip"], 0] += way * share
    front = replace(seen, rays=rays, view=replace(seen.view, plane="frontal"))
    distance = eye_of(front).distance
    assert value(swing(front, 0.0, 4.0)) == pytest.approx(100 * 0.15 * distance, rel=0.01)
    assert value(swing(replace(seen, rays=rays), 0.0, 4.0)) > 1.2 * value(swing(front, 0.0, 4.0))


def test_what_lies_in_a_frontal_plane_has_no_breadth() -> None:
    assert all(breadth_in("frontal", name) == 0 for name in BREADTH)
    assert all(breadth_in("sagittal", name) == breadth for name, breadth in BREADTH.items())
