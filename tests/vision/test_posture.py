from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from models.movements import load_movement
from models.quantity import Measured, Q, Unmeasured
from tests.vision.bodies import AFAR, LEGS, LENGTH, SIZE, Pose, blend, body, figure, motion, push_up, still_phone
from vision.level import Level
from vision.motion import Motion, read_motion
from vision.posture import SUSTAINED, posture, worst

Array = NDArray[np.float64]

TIME = np.arange(0, 6, 1 / 30)
PUSH_UP = load_movement("push-up")
SENSOR = Level(np.array([0.0, 1.0, 0.0]), AFAR.focal, (np.array(SIZE) - 1) / 2, 0.2, 1.0, "sensor")


def value(q: Q | None) -> float:
    assert isinstance(q, Measured)
    return q.value


def hips(hip: Array) -> Motion:
    """A push-up's top with the hips sagging or piking over time."""
    return motion(TIME, push_up(TIME, 5.0, hip=hip), PUSH_UP)


def test_medians_over_the_frames_asked_for() -> None:
    elbow = blend(TIME, [(0, 5), (2, 5), (4, 90), (6, 90)])
    seen = motion(TIME, push_up(TIME, elbow), PUSH_UP)
    top, bottom = (posture(seen, PUSH_UP, *span) for span in ((0.5, 1.5), (4.5, 5.5)))
    assert value(top.elbow) == pytest.approx(5, abs=1e-6)
    assert value(bottom.elbow) == pytest.approx(90, abs=1e-6)
    assert value(top.body) > value(bottom.body) > 0
    assert value(bottom.trunk) == pytest.approx(value(bottom.body), abs=1e-6)
    assert top.lean is None


def test_one_wild_frame_does_not_change_a_posture() -> None:
    seen = motion(TIME, push_up(TIME, 5.0), PUSH_UP, level=SENSOR)
    seen.angles["elbow"][20] = 170
    assert value(posture(seen, PUSH_UP, 0.5, 1.0).elbow) == pytest.approx(5, abs=1e-6)


def test_between_two_frames_the_nearest_one_counts() -> None:
    seen = motion(TIME, push_up(TIME, 5 + 10 * TIME), PUSH_UP)
    found = posture(seen, PUSH_UP, 2.005, 2.006)
    assert value(found.elbow) == pytest.approx(25, abs=1e-6)


def test_movements_with_a_lean_have_no_body_angle() -> None:
    squat = load_movement("squat")
    seen = motion(TIME, figure(TIME, Pose(30, 60, 0, 80, 90), "left", "ankle"), squat)
    found = posture(seen, squat, 1, 2)
    assert found.body is None
    assert value(found.lean) == pytest.approx(30, abs=0.1)


def test_uncertainty_never_falls_below_what_the_design_says() -> None:
    """Without any noise: 0.7 degrees for a line, 3 degrees for a joint, and the doubt about the phone's level."""
    seen = motion(TIME, push_up(TIME, 5.0), PUSH_UP, level=SENSOR)
    sure = replace(seen, sd={name: 0 * sd for name, sd in seen.sd.items()})
    found = posture(sure, PUSH_UP, 1, 2)
    for line in (found.body, found.trunk, found.legs):
        assert isinstance(line, Measured)
        assert line.u >= np.hypot(0.7, SENSOR.roll_u)
    for joint in (found.shoulder, found.elbow, found.hip, found.knee):
        assert isinstance(joint, Measured)
        assert joint.u >= 3.0


def test_noise_adds_to_it_in_squares() -> None:
    seen = motion(TIME, push_up(TIME, 5.0), PUSH_UP, level=SENSOR)
    quiet, noisy = (
        posture(replace(seen, sd={name: np.full(len(TIME), sd) for name in seen.sd}), PUSH_UP, 1, 2).elbow
        for sd in (0.0, 4.0)
    )
    assert isinstance(quiet, Measured)
    assert isinstance(noisy, Measured)
    assert noisy.u == pytest.approx(np.hypot(quiet.u, 4.0))


def test_a_phone_whose_level_is_assumed_makes_lines_less_sure() -> None:
    seen = [motion(TIME, push_up(TIME, 5.0), PUSH_UP, level=level) for level in (SENSOR, AFAR)]
    known, guessed = (posture(each, PUSH_UP, 1, 2) for each in seen)
    assert isinstance(known.body, Measured)
    assert isinstance(guessed.body, Measured)
    assert guessed.body.U95 > 2 * known.body.U95
    assert guessed.body.u > AFAR.roll_u


def test_a_turned_view_shows_no_angle() -> None:
    tracks = body(TIME, push_up(TIME, 5.0), yaw=60)
    seen = read_motion(tracks, PUSH_UP, still_phone(len(TIME)), SENSOR, 1.0)
    found = posture(seen, PUSH_UP, 1, 2)
    assert isinstance(found.body, Unmeasured)
    assert found.elbow == Unmeasured(reason=seen.view.refusal)
    assert worst(seen, 1, 3).hip == Unmeasured(reason=seen.view.refusal)


@pytest.mark.parametrize("sag", [-18.0, 25.0], ids=["sag", "pike"])
def test_the_worst_hip_angle_that_lasts(sag: float) -> None:
    hip = np.where((TIME > 3) & (TIME < 3.6), sag, 0.0)
    found = worst(hips(hip), 1.0, 5.0)
    assert value(found.hip) == pytest.approx(sag, abs=1.0)
    assert found.hip_at == pytest.approx(3.3, abs=0.2)


def test_a_jerk_shorter_than_that_does_not_count() -> None:
    hip = np.where((TIME > 3) & (TIME < 3.2), -30.0, 0.0) + np.where((TIME > 4) & (TIME < 4.6), -10.0, 0.0)
    found = worst(hips(hip), 1.0, 5.0)
    assert value(found.hip) == pytest.approx(-10, abs=1.0)
    assert found.hip_at == pytest.approx(4.3, abs=0.2)


def test_a_slow_sag_counts_at_the_depth_it_keeps_for_that_long() -> None:
    """A sine of 20 degrees and 2 s: within 0.15 s of its peak it is above 20 cos(0.15 pi)."""
    hip = -20 * np.sin(np.pi * np.clip(TIME - 2, 0, 1))
    found = worst(hips(hip), 1.0, 5.0)
    assert value(found.hip) == pytest.approx(-20 * np.cos(np.pi * SUSTAINED / 2), abs=0.7)
    assert found.hip_at == pytest.approx(2.5, abs=0.05)


def test_what_happens_outside_the_rep_does_not_count() -> None:
    hip = np.where(TIME < 1, -40.0, 0.0)
    found = worst(hips(hip), 2.0, 5.0)
    assert value(found.hip) == pytest.approx(0, abs=0.5)
    assert value(found.deviation) == pytest.approx(0, abs=0.1)


def test_deviation_is_the_hips_distance_from_the_line_in_percent_of_it() -> None:
    sag = np.radians(20)
    trunk = LENGTH["trunk"]
    line = np.sqrt(trunk**2 + LEGS**2 + 2 * trunk * LEGS * np.cos(sag))
    expected = 100 * trunk * LEGS * np.sin(sag) / line**2
    assert value(worst(hips(np.full(len(TIME), -20.0)), 1, 5).deviation) == pytest.approx(expected, abs=0.01)


def test_a_rep_too_short_to_sustain_anything() -> None:
    found = worst(hips(np.zeros(len(TIME))), 1.0, 1.2)
    assert isinstance(found.hip, Unmeasured)
    assert isinstance(found.deviation, Unmeasured)
    assert found.hip_at is None
