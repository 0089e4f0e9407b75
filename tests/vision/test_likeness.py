from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import load_movement
from tests.vision.bodies import Pose, blend, figure, motion
from vision.expected import SPREAD
from vision.likeness import Found, hands_fit, likeness, posture
from vision.motion import Motion
from vision.reps import MOMENT

Array = NDArray[np.float64]

TIME = np.arange(0, 3, 1 / 30)
NEAR: tuple[Side, Side] = ("left", "right")
LEVER, FLAG = load_movement("front-lever"), load_movement("human-flag")
PLACE = np.array([180.0, 50, 5, 10, 20, 10, 20])


def hanging(near: Side = "left") -> Motion:
    """Level with the belly up, arms 50 degrees from the trunk."""
    return motion(TIME, figure(TIME, Pose(-90, 50, 5, 10, 20), near, "wrist"), LEVER, near)


@pytest.mark.parametrize("near", NEAR)
def test_a_posture_is_that_of_the_figure(near: Side) -> None:
    seen = posture(hanging(near), LEVER, np.array([1.0, 2.0]))
    off = np.abs((seen - PLACE + 180) % 360 - 180)
    assert off[:5] == pytest.approx(np.zeros(5), abs=1.5)
    assert off[5:] == pytest.approx(np.zeros(2), abs=8)  # the far leg's landmarks are taken as they are


def test_several_moments_give_one_posture_and_one_between_frames_the_nearest() -> None:
    seen = hanging()
    angles = seen.angles | {"elbow": np.where(np.abs(TIME - 2) < MOMENT + 0.01, 40.0, 0.0)}
    bent = replace(seen, angles=angles)
    assert posture(bent, LEVER, np.array([2.0]))[2] == pytest.approx(40)
    assert posture(bent, LEVER, np.array([1.0, 2.0, 2.9]))[2] == pytest.approx(0)
    sparse = replace(seen, time=TIME * 30)
    assert np.isfinite(posture(sparse, LEVER, np.array([7.4]))).all()


def test_the_same_posture_is_wholly_alike_and_one_spread_off_is_less() -> None:
    found: Found = {"held": PLACE}
    for off, expected in ((0.0, 1.0), (1.0, np.exp(-0.5)), (2.0, np.exp(-2))):
        assert likeness(hanging(), LEVER, found, [{"held": PLACE + off * SPREAD}]) == pytest.approx(expected)


def test_the_nearest_way_counts_and_one_that_lacks_an_end_does_not() -> None:
    found: Found = {"straight": PLACE, "bent": PLACE}
    far, near = {"straight": PLACE + SPREAD, "bent": PLACE + SPREAD}, {"straight": PLACE, "bent": PLACE + SPREAD}
    assert likeness(hanging(), LEVER, found, [far, near]) == pytest.approx(np.exp(-0.25))  # type: ignore[list-item]
    assert likeness(hanging(), LEVER, found, [{"held": PLACE}]) == 0


def test_belly_up_is_not_belly_down_but_for_an_oblique_view() -> None:
    down = PLACE.copy()
    down[0] = 0
    assert likeness(hanging(), LEVER, {"held": PLACE}, [{"held": down}]) < 0.01
    clear = hanging()
    oblique = replace(clear, view=replace(clear.view, yaw=60.0))
    assert oblique.view.oblique
    seen = posture(oblique, LEVER, np.array([1.0]))
    assert -90 <= seen[0] <= 90
    assert (seen[1:] >= 0).all()
    assert likeness(oblique, LEVER, {"held": seen}, [{"held": down}]) == pytest.approx(
        likeness(oblique, LEVER, {"held": seen}, [{"held": PLACE}])
    )


def test_either_leg_may_be_the_working_one() -> None:
    one, other = PLACE.copy(), PLACE.copy()
    one[3:] = [0, 0, 110, 120]
    other[3:] = [110, 120, 0, 0]
    assert likeness(hanging(), LEVER, {"held": one}, [{"held": other}]) == pytest.approx(1)


def test_from_the_front_only_trunk_elbows_and_knees_are_compared() -> None:
    level = np.array([0.0, 0, 0, 0, 0, 0, 0])
    elsewhere = np.array([0.0, 170, 0, 90, 0, 90, 0])
    assert likeness(hanging(), FLAG, {"held": level}, [{"held": elsewhere}]) == pytest.approx(1)
    elsewhere[4] = elsewhere[6] = 100
    assert likeness(hanging(), FLAG, {"held": level}, [{"held": elsewhere}]) < 0.2


def test_arms_that_bear_nothing_do_not_count() -> None:
    squat = load_movement("squat")
    hanging_arms = np.array([80.0, 0, 0, 90, 100, 90, 100])
    raised = hanging_arms + [0, 110, 60, 0, 0, 0, 0]
    assert likeness(hanging(), squat, {"held": hanging_arms}, [{"held": raised}]) == pytest.approx(1)
    assert likeness(hanging(), LEVER, {"held": hanging_arms}, [{"held": raised}]) < 0.3


def test_hands_that_hold_on_do_not_squat() -> None:
    """The knees bend under a bar that the hands hold, as on a box under a pull-up bar, or with the hands before the chest."""
    squat, pull_up = load_movement("squat"), load_movement("pull-up")
    knees = blend(TIME, [(0, 0), (1, 0), (2, 90), (3, 90)])
    free = motion(TIME, figure(TIME, Pose(15, 90, 0, knees, knees), "left", "ankle"), squat)
    assert hands_fit(free, squat, 0.5, 2.5)
    holding = motion(TIME, figure(TIME, Pose(0, 170, knees / 2, knees, knees), "left", "wrist"), squat)
    assert not hands_fit(holding, squat, 0.5, 2.5)
    assert hands_fit(holding, pull_up, 0.5, 2.5)
