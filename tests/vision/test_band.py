import numpy as np
import pytest

from models.movements import load_movement
from tests.by_hand import PUSH_UP_ELBOW, motion, push_ups
from vision.band import angle_u95
from vision.measure import Measurement
from vision.uncertainty import angle_bias

MOVED = motion(PUSH_UP_ELBOW)  # standard deviations: 3 degrees for a joint, 0.75 for a line
PUSH_UP = load_movement("push-up")
LEVEL = 0.25  # degrees, of all angles


def test_a_joint_has_its_random_part_and_the_bias_of_landmarks() -> None:
    bias = angle_bias("elbow", PUSH_UP.line, MOVED.angles["elbow"])
    u95 = angle_u95(Measurement(push_ups(), MOVED, PUSH_UP), "elbow")
    np.testing.assert_allclose(u95, 1.96 * np.sqrt(3.0**2 + bias**2 + LEVEL**2))


@pytest.mark.parametrize("variant", [None, "knees"])
def test_a_line_has_a_smaller_bias(variant: str | None) -> None:
    movement = PUSH_UP.as_variant(variant)
    bias = angle_bias("body", movement.line, MOVED.angles["elbow"])
    u95 = angle_u95(Measurement(push_ups(), MOVED, movement), "body")
    np.testing.assert_allclose(u95, 1.96 * np.sqrt(0.75**2 + bias**2 + LEVEL**2))


def test_a_line_to_the_hip_is_less_sure() -> None:
    """A tuck front lever is measured along the trunk; the whole one from the ankles."""
    lever = load_movement("front-lever")
    whole, tuck = (angle_u95(Measurement(push_ups(), MOVED, lever.as_variant(v)), "body") for v in (None, "tuck"))
    assert (tuck > whole + 1).all()
