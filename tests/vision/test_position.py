import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import Movement, load_movement
from tests.vision.bodies import LEGS, LENGTH, PIXELS, Pose, blend, figure, motion, push_up
from vision.motion import Motion
from vision.position import BRIDGE, body_length, in_position, speed, stretches
from vision.skeleton import INDEX

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

RATE = 30.0
TIME = np.arange(0, 14, 1 / RATE)
PUSH_UP, PULL_UP = load_movement("push-up"), load_movement("pull-up")


def inside(joints: Array, movement: Movement, near: Side = "left", seen: Mask | bool = True) -> Mask:
    return in_position(motion(TIME[: len(joints)], joints, movement, near, seen=seen), movement)


def spans(mask: Mask) -> list[tuple[float, float]]:
    runs = stretches(mask, TIME[: len(mask)], 0.0)
    return [(float(TIME[run.start]), float(TIME[run.stop - 1])) for run in runs]


def standing_then_push_ups() -> Array:
    """Stands, crouches and walks the hands out until 4 s, does push-ups until 10 s, stands up again."""
    elbow = blend(TIME, [(0, 5), (5, 5), (6, 90), (7, 5), (8, 90), (9, 5), (14, 5)])
    held = push_up(TIME, elbow)
    upright = figure(TIME, Pose(5, 10, 5), "left", "ankle", held[0, INDEX["left_ankle"]])
    share = blend(TIME, [(0, 0), (2, 0), (4, 1), (10, 1), (12, 0), (14, 0)])[:, None, None]
    return np.asarray(upright * (1 - share) + held * share)


def test_a_body_in_position_all_along() -> None:
    assert inside(push_up(TIME, blend(TIME, [(0, 5), (2, 5), (5, 90), (8, 5), (14, 5)])), PUSH_UP).all()


@pytest.mark.parametrize("near", ["left", "right"])
def test_fast_reps_are_in_position(near: Side) -> None:
    elbow = 47 - 43 * np.cos(2 * np.pi * TIME / 0.9)
    assert inside(push_up(TIME, elbow, near), PUSH_UP, near).all()


def test_setting_up_and_standing_up_are_not() -> None:
    found = spans(inside(standing_then_push_ups(), PUSH_UP))
    assert len(found) == 1
    start, end = found[0]
    assert 3.0 < start < 4.3
    assert 9.7 < end < 11.0


def test_standing_is_no_push_up() -> None:
    assert not inside(figure(TIME, Pose(5, 10, 5), "left", "ankle"), PUSH_UP).any()


def test_walking_on_hands_and_feet_is_no_push_up() -> None:
    crawl = push_up(TIME, 10.0)
    crawl[..., 0] += 0.7 * TIME[:, None]
    assert not inside(crawl, PUSH_UP).any()


def test_hands_must_bear_where_they_do_in_the_movement() -> None:
    hang = figure(TIME, Pose(0, 180, 10), "left", "wrist")
    stand = figure(TIME, Pose(0, 5, 10), "left", "wrist")
    assert inside(hang, PULL_UP).all()
    assert not inside(stand, PULL_UP).any()
    assert not inside(hang, load_movement("dip")).any()


def test_stepping_off_a_bar_ends_the_position() -> None:
    """Lets go at 8 s and walks away with the arms down."""
    hang = figure(TIME, Pose(0, 180, 10), "left", "wrist")
    away = figure(TIME, Pose(0, 5, 10), "left", "ankle", hang[0, INDEX["left_ankle"]] + [0, 0.2])
    away[..., 0] += 0.8 * np.clip(TIME - 9, 0, None)[:, None]
    share = blend(TIME, [(0, 0), (8, 0), (9, 1), (14, 1)])[:, None, None]
    found = spans(inside(hang * (1 - share) + away * share, PULL_UP))
    assert len(found) == 1
    assert 7.9 < found[0][1] < 8.9


def test_a_hidden_hand_that_seems_to_move_does_not_end_the_position() -> None:
    hang = figure(TIME, Pose(0, 180, 10), "left", "wrist")
    hang[:, INDEX["left_wrist"], 0] += 0.3 * np.sin(2 * np.pi * 0.7 * TIME)
    assert inside(hang, PULL_UP).all()


def test_a_hand_set_anew_for_a_moment_does_not_end_the_position() -> None:
    joints = push_up(TIME, 10.0)
    joints[..., 0] += blend(TIME, [(0, 0), (6, 0), (6 + BRIDGE / 2, 0.2), (14, 0.2)])[:, None]
    assert inside(joints, PUSH_UP).all()


def test_a_long_step_of_the_hands_does() -> None:
    joints = push_up(TIME, 10.0)
    joints[..., 0] += blend(TIME, [(0, 0), (6, 0), (7.5, 1.5), (14, 1.5)])[:, None]
    assert len(spans(inside(joints, PUSH_UP))) == 2


def test_passing_through_is_not_being_in_position() -> None:
    """Half a second level on the way down to the floor."""
    forward = blend(TIME, [(0, 0), (5, 0), (5.6, 90), (6.2, 0), (14, 0)])
    assert not inside(figure(TIME, Pose(forward, 80), "left", "wrist"), PUSH_UP).any()


def test_where_nobody_is_seen_nobody_is_in_position() -> None:
    seen = (TIME < 5) | (TIME > 8)
    found = spans(inside(push_up(TIME, 10.0), PUSH_UP, seen=seen))
    assert [(round(a, 1), round(b, 1)) for a, b in found] == [(0.0, 5.0), (8.0, 14.0)]


def test_an_unseen_moment_is_bridged() -> None:
    assert inside(push_up(TIME, 10.0), PUSH_UP, seen=(TIME < 5) | (TIME > 5 + BRIDGE * 0.7)).all()


def test_stretches_last_as_long_as_asked() -> None:
    time = np.array([0, 0.1, 0.5, 1.5, 1.6, 3.0, 3.1])
    mask = np.array([1, 1, 1, 0, 1, 1, 1], bool)
    assert stretches(mask, time, 1.0) == [slice(4, 7)]
    assert stretches(mask, time, 0.4) == [slice(0, 3), slice(4, 7)]
    assert stretches(~mask, time, 1.0) == []


def sliding() -> Motion:
    joints = push_up(TIME, 10.0)
    joints[..., 0] += 0.5 * TIME[:, None]
    return motion(TIME, joints, PUSH_UP)


def test_body_length_is_from_shoulder_to_ankle() -> None:
    assert body_length(sliding()) == pytest.approx((LENGTH["trunk"] + LEGS) * PIXELS, rel=0.002)


def test_speed_is_in_body_lengths() -> None:
    assert speed(sliding(), "left_wrist") == pytest.approx(0.5 / (LENGTH["trunk"] + LEGS), rel=0.002)
