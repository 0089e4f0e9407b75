"""A figure with a breadth is turned before the lens; what tells the turn is compared with it."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import load_movement
from tests.vision.bodies import SIZE, Pose, figure
from tests.vision.lens import Lens, filmed, through
from vision.level import Level, gravity_of
from vision.propagate import Estimate
from vision.skeleton import INDEX, SIDES
from vision.smooth import Body
from vision.view import OBLIQUE, View, view_of

Array = NDArray[np.float64]

TIME = np.arange(0, 2, 1 / 15)
NEAR: tuple[Side, ...] = ("left", "right")
PUSH_UP = load_movement("push-up")


def held(near: Side) -> Array:
    """A push-up that does not move."""
    return figure(TIME, Pose(75, 80), near, "wrist")


LENS = Lens(3.5, 0.4)


def tracks(near: Side, yaw: float = 0.0) -> Body:
    """Seen by a lens that points at the middle of the body."""
    joints = held(near)
    return through(TIME, joints - [np.median(joints[..., 0]), 0], near, LENS, yaw=yaw)


def seen(found: Body, level: Level = LENS.level) -> View:
    return view_of(found.joints, found.world, level)


@pytest.mark.parametrize("near", NEAR)
def test_straight_from_the_side(near: Side) -> None:
    view = seen(tracks(near))
    assert view.near == near
    assert view.yaw == pytest.approx(0, abs=0.5)
    assert 2 < view.u < 6
    assert not view.oblique


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("yaw", [-60.0, -20.0, 10.0, 30.0, 45.0, 80.0])
def test_turned_views(near: Side, yaw: float) -> None:
    view = seen(tracks(near, yaw))
    assert view.near == near
    # A straight arm's elbow lies nearer to the middle plane than the breadth by which yaw is told.
    assert view.lens.value == pytest.approx(yaw, abs=2.5 if abs(yaw) <= OBLIQUE else 8)
    assert view.oblique == (abs(yaw) > OBLIQUE)


def test_with_a_positive_yaw_the_lens_stands_further_to_the_right() -> None:
    """What lies far then shows further right, and what lies to the right is nearer."""
    found = tracks("right", 20.0)
    near, far = (found.joints[0, INDEX[f"{side}_shoulder"], 0] for side in ("right", "left"))
    assert far > near
    assert seen(found).yaw > 0


@pytest.mark.parametrize("yaw", [-25.0, 0.0, 15.0])
@pytest.mark.parametrize("lens", [Lens(3.0, 1.0), Lens(2.2, 0.2, 15.0), Lens(4.0, 1.6, -8.0)])
def test_a_near_lens_at_any_height_tells_the_same(lens: Lens, yaw: float) -> None:
    view = filmed(TIME, held("left"), PUSH_UP, lens=lens, yaw=yaw).view
    assert view.lens.value == pytest.approx(yaw, abs=1.5)


def test_depth_that_blunders_is_outvoted_by_the_breadths() -> None:
    found = tracks("left", 10.0)
    wrong = replace(found, world=tracks("left", 70.0).world)
    view = seen(wrong)
    assert view.yaw == pytest.approx(10, abs=2)


def test_pairs_that_disagree_are_trusted_less() -> None:
    found = tracks("left", 10.0)
    joints = found.joints.copy()
    joints[:, INDEX["right_shoulder"], 0] += 40
    joints[:, INDEX["right_hip"], 0] -= 40
    torn = view_of(joints, found.world, LENS.level)
    assert torn.u > 1.3 * seen(found).u


@pytest.mark.parametrize("yaw", [-20.0, 0.0, 12.0])
def test_walls_help_where_they_agree_and_are_left_where_they_do_not(yaw: float) -> None:
    found = tracks("left", yaw)
    none, along, askew = (
        seen(found, replace(LENS.level, walls=walls))
        for walls in (None, Estimate(yaw + 3, 0.5), Estimate(yaw - 50, 0.5))
    )
    assert none.yaw < along.yaw < yaw + 3
    assert along.u < none.u
    assert askew.yaw == pytest.approx(none.yaw, abs=0.5)


def test_a_bearing_is_told_from_a_yaw() -> None:
    """An athlete at the picture's edge, seen by a lens that stands square to them: the lens is turned, the view is not."""
    moved = filmed(TIME, held("left") + [1.0, 0], PUSH_UP, lens=Lens(3.0, 1.0)).view
    assert moved.bearing > 15
    assert moved.lens.value == pytest.approx(0, abs=2.5)
    assert moved.yaw == pytest.approx(-moved.bearing, abs=2.5)


@pytest.mark.parametrize("yaw", [-25.0, 12.0, 25.0])
def test_angles_of_a_turned_view_are_those_of_the_side(yaw: float) -> None:
    """A tilted body and a bent elbow seen from 1 m up at 3 m: uncorrected the line would be wrong by degrees."""
    straight, turned = (filmed(TIME, held("left"), PUSH_UP, lens=Lens(3.0, 1.0), yaw=y) for y in (0.0, yaw))
    for name in ("body", "trunk", "elbow", "hip"):
        off = float(np.median(turned.angles[name] - straight.angles[name]))
        assert abs(off) < 1.96 * float(np.median(turned.level_sd[name]))
        assert abs(off) < 1.2, name
    assert np.median(turned.level_sd["body"]) > 0.1 * turned.view.u  # 0.45 m up at 3 m: 0.15 degrees for each


def test_the_refusal_says_how_far_the_view_is_turned_and_what_to_do() -> None:
    refusal = View("left", -50.0, 4.0).refusal
    assert refusal == "the view is turned 50 degrees from the athlete's side; film from the side"
    frontal = View("left", 41.0, 9.0, plane="frontal").refusal
    assert frontal == "the view is turned 41 degrees from the athlete's front; film from the front or the back"


def test_a_few_frames_that_are_wrong_do_not_turn_the_view() -> None:
    right, wrong = tracks("right"), tracks("left", 70)
    joints, world = right.joints.copy(), right.world.copy()
    joints[:8], world[:8] = wrong.joints[:8], wrong.world[:8]
    view = view_of(joints, world, LENS.level)
    assert view.near == "right"
    assert view.yaw == pytest.approx(0, abs=0.5)


def test_a_phone_that_looks_down_does_not_turn_the_view() -> None:
    view = filmed(TIME, held("left"), PUSH_UP, lens=Lens(3.0, 1.8, -25.0), yaw=20.0).view
    assert view.lens.value == pytest.approx(20, abs=1.5)


@pytest.mark.parametrize("upper", NEAR)
@pytest.mark.parametrize("yaw", [-20.0, 0.0, 50.0])
def test_a_body_on_its_side_is_seen_from_the_front(upper: Side, yaw: float) -> None:
    """Left and right one above the other, belly to the lens: the frontal plane shows."""
    space = np.zeros((5, len(INDEX), 3))
    for name, index in INDEX.items():
        side, _, point = name.partition("_")
        along = {"shoulder": 0.5, "elbow": 0.8, "wrist": 1.0, "hip": 0.0, "knee": -0.45, "ankle": -0.85}.get(point, 0.6)
        spread = {"wrist": 0.5, "elbow": 0.3}.get(point, 0.15)
        space[:, index] = [along, (-spread if side == upper else spread) if point else 0, 0]
    turn = np.radians(yaw)
    world = space @ np.array([[np.cos(turn), 0, -np.sin(turn)], [0, 1, 0], [np.sin(turn), 0, np.cos(turn)]])
    joints = world[..., :2] * 300 + np.array(SIZE) / 2
    view = view_of(joints, world, Level(gravity_of(0, 0), 985, (np.array(SIZE) - 1) / 2, 0, 0, "sensor"), "frontal")
    assert view.near == upper
    assert view.yaw == pytest.approx(yaw, abs=3)
    assert view.oblique == (abs(yaw) > OBLIQUE)
    assert {side for side in SIDES if side != view.near} == {side for side in SIDES if side != upper}
