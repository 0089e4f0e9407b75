"""Figures in postures of the catalogue, and in others."""

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import load_movement, movement_names
from tests.vision.bodies import Pose, figure
from vision.resemblance import ALIKE, UNLIKE, Sought, resemblance, sought

STANDING, UPSIDE_DOWN, FACE_DOWN = Pose(2, 5), Pose(180, 175), Pose(75, 75)


def body(pose: Pose, near: Side = "left") -> NDArray[np.float64]:
    return figure(np.zeros(1), pose, near, "wrist")


def wanted(name: str) -> Sought:
    found = sought(load_movement(name))
    assert found is not None
    return found


@pytest.mark.parametrize("near", ["left", "right"])
@pytest.mark.parametrize(
    ("name", "pose"),
    [
        ("handstand", UPSIDE_DOWN),
        ("push-up", FACE_DOWN),
        ("push-up", Pose(80, 45, 60)),
        ("squat", STANDING),
        ("front-lever", Pose(-90, 50)),
    ],
)
def test_who_does_it_looks_like_it_from_either_side(name: str, pose: Pose, near: Side) -> None:
    assert resemblance(body(pose, near), wanted(name))[0] > ALIKE


@pytest.mark.parametrize("name", ["handstand", "handstand-push-up", "push-up", "front-lever", "l-sit", "plank"])
def test_who_stands_beside_it_does_not(name: str) -> None:
    holding = Pose(10, 60, 30)
    assert (resemblance(np.concatenate([body(STANDING), body(holding)]), wanted(name)) < UNLIKE).all()


def test_bent_knees_do_not_make_it_another_movement() -> None:
    assert resemblance(body(Pose(5, 10, 5, 20, 90)), wanted("dip"))[0] > UNLIKE


def test_halfway_through_a_stroke_is_a_part_of_it() -> None:
    ends = resemblance(np.concatenate([body(Pose(5, 0, 10)), body(Pose(20, -45, 90))]), wanted("dip"))
    assert resemblance(body(Pose(12, -20, 50)), wanted("dip"))[0] > 0.8 * ends.min()


def test_nobody_looks_like_nothing() -> None:
    assert resemblance(np.zeros((0, 21, 2)), wanted("dip")).shape == (0,)


def test_every_movement_of_the_catalogue_says_what_to_look_for() -> None:
    assert all(sought(load_movement(name)) for name in movement_names())


def test_nothing_is_sought_where_the_catalogue_names_no_posture() -> None:
    assert sought(load_movement("dip").model_copy(update={"demand": None, "variants": {}})) is None
