import numpy as np
import pytest

from models.document import Side
from models.movements import load_movement
from tests.vision.bodies import LENGTH, PIXELS, Pose, figure, motion, push_up

TIME = np.arange(0, 4, 1 / 30)

# Winter 2009, figure 4.1 (after Drillis & Contini 1966): shoulder .818 H and ankle .039 H above the floor.
# The hip's landmark lies in front of its centre, which lengthens a straight body by a tenth of a percent.
HEIGHT = (LENGTH["trunk"] + LENGTH["thigh"] + LENGTH["shank"]) / (0.818 - 0.039)


@pytest.mark.parametrize("near", ["left", "right"])
def test_height_from_the_segments_between_shoulder_and_ankle(near: Side) -> None:
    seen = motion(TIME, push_up(TIME, 40.0, near), load_movement("push-up"), near)
    assert seen.height == pytest.approx(HEIGHT * PIXELS, rel=0.002)


def test_a_bent_body_is_as_tall_as_a_straight_one() -> None:
    seen = motion(TIME, figure(TIME, Pose(10, 0, 0, 90, 100), "left", "ankle"), load_movement("squat"))
    assert seen.height == pytest.approx(HEIGHT * PIXELS, rel=0.02)


def test_a_segment_that_turns_out_of_the_picture_for_a_while_does_not_shrink_the_athlete() -> None:
    joints = push_up(TIME, 40.0)
    foreshortened = joints.copy()
    foreshortened[: len(TIME) // 2, :, 0] *= 0.6
    seen = motion(TIME, foreshortened, load_movement("push-up"))
    assert seen.height == pytest.approx(HEIGHT * PIXELS, rel=0.01)


def test_what_is_tracked_while_nobody_is_seen_does_not_count() -> None:
    joints = push_up(TIME, 40.0)
    gone = TIME > 2
    joints[gone] *= 3
    seen = motion(TIME, joints, load_movement("push-up"), seen=~gone)
    assert seen.height == pytest.approx(HEIGHT * PIXELS, rel=0.002)
