from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from models.document import Hold
from models.movements import Movement, load_movement
from models.quantity import Measured, Q, Unmeasured
from tests.vision.bodies import LEGS, LENGTH, PIXELS, Pose, blend, figure, motion, push_up
from vision.holds import describe, find_holds
from vision.motion import Motion
from vision.skeleton import INDEX

Array = NDArray[np.float64]

RATE = 30.0
TIME = np.arange(0, 16, 1 / RATE)
HANDSTAND, PUSH_UP, L_SIT = load_movement("handstand"), load_movement("push-up"), load_movement("l-sit")
HEIGHT_CM = 100 * (LENGTH["trunk"] + LEGS) / (0.818 - 0.039)
FRAME = 1.5 / RATE


def handstand(lean: ArrayLike = 0.0, time: Array = TIME, **others: ArrayLike) -> Motion:
    """On the hands, the whole body leaning by so many degrees."""
    shoulder = others.pop("shoulder", 180.0)
    pose = Pose(forward=180 - np.asarray(lean, dtype=float), shoulder=shoulder, **others)
    return motion(time, figure(time, pose, "left", "wrist"), HANDSTAND)


def ramps(time: Array, knots: list[tuple[float, float]]) -> Array:
    """Straight lines between (second, value)."""
    at, values = np.array(knots, dtype=float).T
    return np.interp(time, at, values)


def the_hold(seen: Motion, movement: Movement = HANDSTAND, height_cm: float | None = None) -> Hold:
    holds = describe(seen, movement, find_holds(seen, movement), height_cm)
    assert len(holds) == 1
    return holds[0]


def value(q: Q) -> float:
    assert isinstance(q, Measured)
    return q.value


@pytest.mark.parametrize("rate", [24.0, 30.0, 60.0])
def test_a_hold_ends_where_the_angle_leaves_five_degrees(rate: float) -> None:
    """10 deg/s into and out of the hold: half a second of each lies within 5 degrees."""
    time = np.arange(0, 14, 1 / rate)
    lean = ramps(time, [(0, 40), (4, 0), (10, 0), (14, -40)])
    (start, end), *others = find_holds(handstand(lean, time), HANDSTAND)
    assert not others
    assert start == pytest.approx(3.5, abs=1.5 / rate)
    assert end == pytest.approx(10.5, abs=1.5 / rate)


def test_still_is_given_with_its_uncertainty() -> None:
    hold = the_hold(handstand(ramps(TIME, [(0, 40), (4, 0), (10, 0), (14, -40), (16, -40)])))
    assert isinstance(hold.still, Measured)
    assert hold.still.unit == "s"
    assert hold.still.value == pytest.approx(hold.end - hold.start)
    assert abs(hold.still.value - 7) < hold.still.U95


def test_uneven_frame_times() -> None:
    time = np.sort(np.random.default_rng(2).uniform(0, 14, 420))
    lean = ramps(time, [(0, 40), (4, 0), (10, 0), (14, -40)])
    (span,) = find_holds(handstand(lean, time), HANDSTAND)
    assert span == pytest.approx((3.5, 10.5), abs=0.12)


def test_every_angle_that_the_movement_names_must_stay_still() -> None:
    """The hips pike by 20 degrees for the last third, the shoulders staying above the hands."""
    hip = ramps(TIME, [(0, 0), (10, 0), (12, 20), (16, 20)])
    spans = find_holds(handstand(hip=hip), HANDSTAND)
    assert spans[0] == pytest.approx((0, 10.5), abs=FRAME)
    assert len(spans) == 2
    assert spans[1] == pytest.approx((11.5, TIME[-1]), abs=FRAME)


def test_a_slow_drift_is_a_hold_for_as_long_as_it_stays_within_five_degrees_of_its_middle() -> None:
    lean = ramps(TIME, [(0, -8), (16, 8)])
    longest = max(end - start for start, end in find_holds(handstand(lean), HANDSTAND))
    assert longest == pytest.approx(10, abs=0.2)


@pytest.mark.parametrize(
    ("seconds", "degrees", "count"),
    [(0.2, 12, 1), (0.2, 20, 2), (0.6, 12, 2), (0.6, 4, 1)],
    ids=["brief and small", "brief but large", "small but long", "within the band"],
)
def test_excursions(seconds: float, degrees: float, count: int) -> None:
    """The legs kick and come back."""
    hip = np.where(np.abs(TIME - 8) < seconds / 2, degrees, 0.0)
    spans = find_holds(handstand(hip=hip), HANDSTAND)
    assert len(spans) == count
    if count == 1:
        assert spans[0] == pytest.approx((0, TIME[-1]), abs=FRAME)


@pytest.mark.parametrize(("rest", "count"), [(0.5, 0), (1.2, 1)])
def test_a_stretch_under_a_second_is_no_hold(rest: float, count: int) -> None:
    """The hips go to and fro at 40 deg/s, and rest once."""
    swing = 36 * np.abs((TIME / 0.9 + 1) % 2 - 1)
    rested = TIME - np.clip(TIME - 7.2, 0, rest)  # 7.2 s is a turning point
    assert len(find_holds(handstand(hip=np.interp(rested, TIME, swing)), HANDSTAND)) == count


def test_getting_in_and_out_are_no_holds() -> None:
    """Stands still for 4 s, kicks up, holds for 5 s, comes down and stands still again."""
    forward = blend(TIME, [(0, 5), (4, 5), (5.5, 180), (10.5, 180), (12, 5), (16, 5)])
    up = np.clip((forward - 5) / 175, 0, 1)
    arms = blend(TIME, [(0, 5), (3.5, 5), (4, 170), (5.5, 180), (10.5, 180), (12, 170), (12.5, 5), (16, 5)])
    on_hands = figure(TIME, Pose(forward, arms), "left", "wrist", (0.9, 0.0))
    on_feet = figure(TIME, Pose(forward, arms), "left", "ankle")
    joints = on_feet * (1 - up)[:, None, None] + on_hands * up[:, None, None]
    spans = find_holds(motion(TIME, joints, HANDSTAND), HANDSTAND)
    assert len(spans) == 1
    assert spans[0] == pytest.approx((5.4, 10.6), abs=0.3)


def test_standing_still_is_no_hold_of_any_movement_on_the_hands() -> None:
    standing = figure(TIME, Pose(3, 5), "left", "ankle")
    for movement in (HANDSTAND, PUSH_UP, L_SIT, load_movement("planche"), load_movement("front-lever")):
        assert find_holds(motion(TIME, standing, movement), movement) == []


def test_a_posture_outside_the_movements_bands_is_no_hold() -> None:
    """An L-sit needs the hips bent by 45 degrees at least; sitting up straight on the hands is none."""
    sitting = Pose(5, -5, 0, ramps(TIME, [(0, 90), (8, 90), (8.5, 10), (16, 10)]))
    spans = find_holds(motion(TIME, figure(TIME, sitting, "left", "wrist"), L_SIT), L_SIT)
    assert len(spans) == 1
    assert spans[0][1] == pytest.approx(8.1, abs=0.15)


def test_reps_are_no_holds_but_a_plank_is() -> None:
    elbow = np.concatenate([47 - 43 * np.cos(2 * np.pi * TIME[:240] / 1.6), np.full(len(TIME) - 240, 4.0)])
    (span,) = find_holds(motion(TIME, push_up(TIME, elbow), PUSH_UP), PUSH_UP)
    assert span == pytest.approx((8.0, TIME[-1]), abs=0.25)


def test_a_hand_set_anew_ends_the_hold() -> None:
    """A change of support does, though the posture stays as it is."""
    joints = figure(TIME, Pose(180, 180), "left", "wrist")
    joints[..., 0] += blend(TIME, [(0, 0), (8, 0), (8.3, 0.25), (16, 0.25)])[:, None]
    spans = find_holds(motion(TIME, joints, HANDSTAND), HANDSTAND)
    assert len(spans) == 2
    assert spans[0][1] == pytest.approx(8.1, abs=0.2)
    assert spans[1][0] == pytest.approx(8.2, abs=0.25)


def test_a_foot_down_ends_the_hold() -> None:
    """The feet come down out of an L-sit for half a second."""
    hip = blend(TIME, [(0, 90), (7, 90), (7.3, 60), (7.8, 60), (8.1, 90), (16, 90)])
    spans = find_holds(motion(TIME, figure(TIME, Pose(5, -5, 0, hip), "left", "wrist"), L_SIT), L_SIT)
    assert len(spans) == 2


def test_drift_is_the_trend_over_the_hold() -> None:
    lean = ramps(TIME, [(0, -2), (16, 2)]) + 0.3 * np.sin(2 * np.pi * 0.5 * TIME)
    assert value(the_hold(handstand(lean)).drift) == pytest.approx(4, abs=0.15)


@pytest.mark.parametrize(("seconds", "count"), [(1.5, 1), (3.0, 2)])
def test_a_hold_goes_on_while_the_athlete_is_briefly_lost(seconds: float, count: int) -> None:
    seen = handstand()
    spans = find_holds(replace(seen, present=np.abs(TIME - 8) > seconds / 2), HANDSTAND)
    assert len(spans) == count


def test_a_hold_that_is_left_while_the_athlete_is_lost_ends() -> None:
    """The track says that the hips bent by 30 degrees meanwhile."""
    hip = ramps(TIME, [(0, 0), (7.5, 0), (8, 30), (8.5, 0), (16, 0)])
    seen = handstand(hip=hip)
    assert len(find_holds(replace(seen, present=np.abs(TIME - 8) > 0.75), HANDSTAND)) == 2


def test_how_long_it_was_is_not_told_of_a_hold_that_ends_out_of_sight() -> None:
    hold = the_hold(replace(handstand(), present=TIME < 9))
    assert isinstance(hold.still, Unmeasured)
    assert "the athlete was lost at 9.0 s" in hold.still.reason


def test_a_hand_that_slides_ends_the_hold_when_it_moves_and_not_before() -> None:
    """By a metre, in half a second; whether it rests is judged over 0.15 s to both sides."""
    joints = figure(TIME, Pose(180, 180), "left", "wrist")
    joints[..., 0] += ramps(TIME, [(0, 0), (8, 0), (8.5, 1.0), (16, 1.0)])[:, None]
    spans = find_holds(motion(TIME, joints, HANDSTAND), HANDSTAND)
    assert spans[0][1] == pytest.approx(8.0, abs=2 * FRAME)
    assert spans[1][0] == pytest.approx(8.5, abs=2 * FRAME)


def test_drift_is_in_doubt_where_two_angles_drift_about_as_much() -> None:
    """The body leans on by 3 degrees and the hips straighten by 2.9: which is the largest, and its sign, is not sure."""
    lean, hip = ramps(TIME, [(0, -1.5), (16, 1.5)]), ramps(TIME, [(0, 2.9), (16, 0)])
    alone, both = the_hold(handstand(lean)).drift, the_hold(handstand(lean, hip=hip, shoulder=180 - hip)).drift
    assert isinstance(alone, Measured)
    assert isinstance(both, Measured)
    assert alone.U95 < 2
    assert both.U95 > 5


def test_the_posture_is_that_of_the_hold() -> None:
    posture = the_hold(handstand(2.0, hip=10, knee=4)).posture
    assert posture.lean is not None
    assert value(posture.hip) == pytest.approx(10, abs=1e-6)
    assert value(posture.knee) == pytest.approx(4, abs=1e-6)
    assert value(posture.shoulder) == pytest.approx(180, abs=1e-6)


def swaying(amplitude: float, hertz: float, rate: float = 30.0, noise: float = 0.0) -> Motion:
    """A still handstand whose centre of mass goes to and fro along the floor by so many millimetres."""
    time = np.arange(0, 20, 1 / rate)
    seen = handstand(0.0, time)
    random = np.random.default_rng(4)
    mass = seen.centre_of_mass + random.normal(0, noise, (len(time), 2))
    mass[:, 0] += amplitude / 1000 * PIXELS * np.sin(2 * np.pi * hertz * time)
    return replace(seen, centre_of_mass=mass)


@pytest.mark.parametrize(("amplitude", "hertz"), [(12.0, 0.4), (20.0, 0.25), (8.0, 1.3)])
@pytest.mark.parametrize("noise", [0.0, 0.6])
def test_sway_of_a_sinusoid(amplitude: float, hertz: float, noise: float) -> None:
    sway = the_hold(swaying(amplitude, hertz, noise=noise), height_cm=HEIGHT_CM).sway
    rms = amplitude / np.sqrt(2)
    assert value(sway.along_floor) == pytest.approx(rms, abs=max(0.15 * rms, 2))
    assert isinstance(sway.along_floor, Measured)
    assert sway.along_floor.unit == "mm"
    assert abs(sway.along_floor.value - rms) < max(sway.along_floor.U95, 0.15 * rms)
    if not noise:
        assert value(sway.path) == pytest.approx(4 * amplitude * hertz * 20, rel=0.05)
        assert value(sway.speed) == pytest.approx(4 * amplitude * hertz, rel=0.05)


def test_a_body_that_leans_to_and_fro_sways() -> None:
    """One degree about the hands; the centre of mass of the figure is about 0.94 m above them."""
    sway = the_hold(handstand(0.8 * np.sin(2 * np.pi * 0.4 * TIME)), height_cm=HEIGHT_CM).sway
    seen = handstand(0.0)
    arm = np.linalg.norm(seen.centre_of_mass[0] - seen.joints[0, INDEX["left_wrist"]]) / PIXELS * 1000
    rms = np.radians(0.8) * arm / np.sqrt(2)
    assert 850 < arm < 1050
    assert value(sway.along_floor) == pytest.approx(rms, rel=0.08)


def test_noise_is_no_sway() -> None:
    sway = the_hold(swaying(0.0, 1.0, noise=0.6), height_cm=HEIGHT_CM).sway
    assert isinstance(sway.along_floor, Unmeasured)
    assert isinstance(sway.vertical, Unmeasured)
    assert "noise" in sway.along_floor.reason


def test_what_a_shaken_phone_leaves_in_the_picture_is_no_sway() -> None:
    """It moves body and hands alike; here by 1.5 pixels, a sway of 5 mm."""
    clean = swaying(12.0, 0.4, noise=0.2)
    turn = 2 * np.pi * 0.9 * clean.time
    left = 1.5 * np.stack([np.sin(turn), np.cos(turn)], axis=1)
    moved = clean.from_first + np.pad(left[:, :, None] * 10, ((0, 0), (0, 0), (2, 0)))
    shaken = replace(
        clean, joints=clean.joints + left[:, None], centre_of_mass=clean.centre_of_mass + left, from_first=moved
    )
    sway, expected = (the_hold(seen, height_cm=HEIGHT_CM).sway for seen in (shaken, clean))
    assert value(sway.along_floor) == pytest.approx(value(expected.along_floor), rel=1e-3)
    assert value(sway.path) == pytest.approx(value(expected.path), rel=1e-3)
    assert isinstance(sway.along_floor, Measured)
    assert isinstance(expected.along_floor, Measured)
    assert sway.along_floor.U95 > expected.along_floor.U95


def test_getting_in_and_out_is_no_sway() -> None:
    """A body that topples at both ends, and stands quite still between them."""
    lean = ramps(TIME, [(0, 40), (4, 0), (10, 0), (14, -40), (16, -40)])
    sway = the_hold(handstand(lean), height_cm=HEIGHT_CM).sway
    assert isinstance(sway.speed, Measured)
    assert isinstance(sway.path, Measured)
    assert sway.path.value == pytest.approx(7 * sway.speed.value, rel=0.01)
    fallen = np.radians(5) * 950  # mm that the centre of mass goes within the band, at each end
    assert sway.path.value < 2 * fallen


def test_without_the_athletes_height_sway_is_a_share_of_it() -> None:
    sway = the_hold(swaying(12.0, 0.4)).sway
    assert isinstance(sway.along_floor, Measured)
    assert sway.along_floor.unit == "% of height"
    assert sway.along_floor.value == pytest.approx(100 * 12 / np.sqrt(2) / 10 / HEIGHT_CM, rel=0.05)


def test_too_few_frames_a_second_show_no_sway() -> None:
    sway = the_hold(swaying(12.0, 0.4, rate=15.0), height_cm=HEIGHT_CM).sway
    for q in (sway.along_floor, sway.vertical, sway.path, sway.speed, sway.ellipse):
        assert isinstance(q, Unmeasured)
        assert "20 frames/s" in q.reason


def turned(seen: Motion, yaw: float) -> Motion:
    return replace(seen, view=replace(seen.view, yaw=yaw))


def test_an_oblique_view_shows_neither_drift_nor_sway() -> None:
    seen = turned(swaying(12.0, 0.4), 50.0)
    hold = the_hold(seen)
    for q in (hold.drift, *vars(hold.sway).values()):
        assert isinstance(q, Unmeasured)
        assert q.reason == seen.view.refusal
    assert value(hold.still) > 15


def test_a_view_turned_by_some_degrees_is_less_sure_of_what_goes_along_the_floor() -> None:
    """Twenty degrees make it up to 6 % too short, and leave the vertical as it is."""
    square, aside = (
        the_hold(turned(swaying(20.0, 0.4, noise=0.2), yaw), height_cm=HEIGHT_CM).sway for yaw in (0.0, 20.0)
    )
    assert isinstance(square.along_floor, Measured)
    assert isinstance(aside.along_floor, Measured)
    assert aside.along_floor.value == square.along_floor.value
    expected = np.hypot(square.along_floor.u, (1 / np.cos(np.radians(20)) - 1) * square.along_floor.value)
    assert aside.along_floor.u == pytest.approx(expected)
    assert aside.vertical == square.vertical


def test_no_hold_has_begun_while_the_far_leg_is_still_on_its_way() -> None:
    """It comes up at 20 deg/s until 4 s: the mean of both is within 5 degrees for the last half second of that."""
    pose = Pose(forward=180.0, shoulder=180.0)
    joints, late = (
        figure(TIME, each, "left", "wrist") for each in (pose, replace(pose, hip=ramps(TIME, [(0, 80), (4, 0)])))
    )
    far = [INDEX[f"right_{name}"] for name in ("knee", "ankle")]
    joints[:, far] = late[:, far]
    ((start, _),) = find_holds(motion(TIME, joints, HANDSTAND), HANDSTAND)
    assert start == pytest.approx(3.5, abs=FRAME)
