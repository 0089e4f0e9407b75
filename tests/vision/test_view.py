import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from tests.vision.bodies import SIZE, Pose, body, figure
from vision.level import Level, assumed
from vision.skeleton import INDEX, SIDES
from vision.view import OBLIQUE, YAW_U, view_of

Array = NDArray[np.float64]

TIME = np.arange(0, 2, 1 / 15)


def world(near: Side, yaw: float = 0.0) -> Array:
    """Landmarks of a push-up that does not move; with yaw the left side lies further right in the picture."""
    return body(TIME, figure(TIME, Pose(75, 80), near, "wrist"), near, yaw=yaw).world


@pytest.mark.parametrize("near", ["left", "right"])
def test_straight_from_the_side(near: Side) -> None:
    view = view_of(world(near), assumed(SIZE))
    assert view.near == near
    assert view.yaw == pytest.approx(0, abs=1e-6)
    assert view.u == YAW_U
    assert not view.oblique


@pytest.mark.parametrize("near", ["left", "right"])
@pytest.mark.parametrize("yaw", [-60.0, -30.0, 10.0, 34.0, 45.0, 89.0])
def test_turned_views(near: Side, yaw: float) -> None:
    landmarks = world(near, yaw)
    left, right = (landmarks[0, INDEX[f"{side}_shoulder"]] for side in SIDES)
    view = view_of(landmarks, assumed(SIZE))
    assert view.near == near
    assert abs(view.yaw) == pytest.approx(abs(yaw), abs=1e-6)
    assert np.sign(view.yaw) == np.sign(left[0] - right[0])  # positive with the left side further right
    assert view.oblique == (abs(yaw) > OBLIQUE)


def test_the_refusal_says_how_far_the_view_is_turned_and_what_to_do() -> None:
    refusal = view_of(world("left", -50.0), assumed(SIZE)).refusal
    assert "50 degrees" in refusal
    assert "film from the side" in refusal


def test_a_few_frames_that_are_wrong_do_not_turn_the_view() -> None:
    landmarks = world("right")
    landmarks[:8] = world("left", 70)[:8]
    view = view_of(landmarks, assumed(SIZE))
    assert view.near == "right"
    assert view.yaw == pytest.approx(0, abs=1e-6)


def test_a_phone_that_looks_down_does_not_turn_the_view() -> None:
    pitch = np.radians(-25)
    gravity = np.array([0, np.cos(pitch), -np.sin(pitch)])
    looks_down = np.array([[1, 0, 0], [0, np.cos(pitch), np.sin(pitch)], [0, -np.sin(pitch), np.cos(pitch)]])
    level = Level(gravity, 1024, np.array(SIZE) / 2, 0.3, 2, "sensor")
    view = view_of(world("left", 20.0) @ looks_down.T, level)
    assert abs(view.yaw) == pytest.approx(20, abs=1e-6)
