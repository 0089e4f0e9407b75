"""Which movement a figure does, when nobody said: figures that go through the catalogue's own postures, and others."""

import tomllib
from importlib.resources import files

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.errors import MovementError
from models.movements import Movement, load_movement, movement_names
from models.movements.demand import End
from tests.vision.bodies import AFAR, Pose, blend, body, figure, push_up, still_phone
from vision.expected import Way, expected
from vision.recognise import APART, SURE, Suggestion, choose, suggest
from vision.skeleton import INDEX, OTHER_SIDE

Array = NDArray[np.float64]
NEAR: tuple[Side, Side] = ("left", "right")

TIME = np.arange(0, 15, 1 / 20)
TEMPO = [(0.0, 0.0), (1, 0), (3, 1), (4, 1), (6, 0), (7, 0), (9, 1), (10, 1), (12, 0), (15, 0)]
UNSEEN = {name for name in movement_names() if load_movement(name).plane == "frontal"}
"""Done sideways: a figure seen from the side does not show them."""
BY_REPS = sorted(
    name
    for name in set(movement_names()) - UNSEEN
    if (m := load_movement(name)).usual == "reps" and m.looks_like is None and m.reps and m.reps.driving != "reach"
)
BY_HOLD = sorted(name for name in set(movement_names()) - UNSEEN if load_movement(name).usual == "hold")


def seen(joints: Array, near: Side, time: Array = TIME, yaw: float = 0.0) -> tuple[Suggestion, ...]:
    return suggest(body(time, joints, near, yaw=yaw), still_phone(len(time)), AFAR, 1.0)


def between(first: Array, last: Array, share: Array, near: Side, anchor: str) -> Array:
    """Joints of a figure that goes from one posture to another and back, `share` of the way at each time."""
    turn = (last - first + 180) % 360 - 180
    trunk, shoulder, elbow, hip, knee, *other = (first + share[:, None] * turn).T
    joints = figure(TIME, Pose(90 - trunk, shoulder, elbow, hip, knee), near, anchor)
    far = OTHER_SIDE[near]
    free = figure(TIME, Pose(90 - trunk, shoulder, elbow, *other), near, "hip")
    for name in ("knee", "ankle", "heel", "toe"):
        leg = INDEX[f"{far}_{name}"]
        joints[:, leg] = free[:, leg] + joints[:, INDEX[f"{near}_hip"]]
    return joints


def anchor_of(movement: Movement) -> str:
    return "ankle" if movement.position.contact in ("feet", "foot") else "wrist"


def moving(movement: Movement, way: Way, near: Side) -> Array:
    """Two slow reps in the order of the movement."""
    assert movement.reps is not None
    share = blend(TIME, TEMPO)
    starts_straight = (movement.reps.first == "lowering") == (movement.reps.lowering == "grows")
    ends: tuple[End, End] = ("straight", "bent") if starts_straight else ("bent", "straight")
    return between(way[ends[0]], way[ends[1]], share, near, anchor_of(movement))


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("name", BY_REPS)
def test_reps_through_the_catalogue_s_postures_are_recognised(name: str, near: Side) -> None:
    movement = load_movement(name)
    first = choose(seen(moving(movement, expected(movement)[0], near), near))
    assert (first.movement.name, first.kind) == (name, "reps")
    assert first.score > 0.5


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("name", BY_HOLD)
def test_the_catalogue_s_holds_are_recognised(name: str, near: Side) -> None:
    movement = load_movement(name)
    held = expected(movement)[0]["held"]
    still = between(held, held + [0, 3, 0, 3, 0, 0, 0], 0.1 * np.sin(TIME), near, anchor_of(movement))
    first = choose(seen(still, near))
    assert (first.movement.name, first.kind) == (name, "hold")


@pytest.mark.parametrize("near", NEAR)
def test_belly_up_and_belly_down_are_not_confused(near: Side) -> None:
    """A row and a push-up have the same angles at all joints; the belly tells them apart."""
    lying = expected(load_movement("row"))[0]
    found = seen(moving(load_movement("row"), lying, near), near)
    scores = {each.movement.name: each.score for each in found}
    assert scores["row"] > 10 * scores.get("push-up", 0.0)


def test_a_push_up_of_straight_geometry() -> None:
    """Not the catalogue's own angles: hands and toes stay, the elbows go from 5 to 100 degrees."""
    found = seen(push_up(TIME, 5 + 95 * blend(TIME, TEMPO)), "left")
    assert choose(found).movement.name == "push-up"
    assert [each.score for each in found] == sorted((each.score for each in found), reverse=True)


def test_pauses_of_reps_are_no_hold() -> None:
    """Two seconds at the top of each push-up are a plank by posture; the reps explain more."""
    tempo = [(0.0, 0.0), (3, 0), (4, 1), (5, 0), (8, 0), (9, 1), (10, 0), (15, 0)]
    found = seen(push_up(TIME, 5 + 95 * blend(TIME, tempo)), "left")
    assert found[0].movement.name == "push-up"
    assert any(each.kind == "hold" for each in found)


def test_a_movement_that_no_view_tells_from_another_is_named_beside_it() -> None:
    pull_up = load_movement("pull-up")
    first = choose(seen(moving(pull_up, expected(pull_up)[0], "left"), "left"))
    assert first.movement.name == "pull-up"
    assert first.like == ("chin-up",)
    assert "chin-up" in first.note
    assert "--movement" in first.note


def test_what_looks_like_another_names_one_that_is_ranked() -> None:
    for name in movement_names():
        other = load_movement(name).looks_like
        assert other is None or load_movement(other).looks_like is None


def test_a_movement_of_one_s_own_is_recognised_by_its_file_alone() -> None:
    """A squat on straight legs: a bow from the hips, driven by the hip. No code knows it."""
    text = files("models.movements").joinpath("squat.toml").read_text(encoding="utf-8")
    content = tomllib.loads(text)
    content |= {"name": "bow", "title": "Bow from the hips", "standards": [], "asked": {}, "variants": {}}
    content["reps"] = {"driving": "hip", "lowering": "grows", "first": "lowering", "straight": 5, "bent": 80}
    content["hold"] = {"still": ["hip"], "posture": {"trunk": {"low": 0, "high": 90}}}
    content["position"]["trunk"] = {"low": -10, "high": 90}
    content["demand"] |= {"limit": "hip", "straight": {"shoulder": 0}, "bent": {"shoulder": 60, "hip": 80}}
    content["scalings"] = {}
    bow = Movement.model_validate(content)
    joints = moving(bow, expected(bow)[0], "left")
    tracks = body(TIME, joints, "left")
    known = [load_movement(name) for name in movement_names()]
    found = suggest(tracks, still_phone(len(TIME)), AFAR, 1.0, [*known, bow])
    assert choose(found).movement.name == "bow"


def test_an_oblique_view_still_suggests_by_how_far_the_joints_bend() -> None:
    squat = load_movement("squat")
    found = seen(moving(squat, expected(squat)[0], "left"), "left", yaw=60)
    assert "squat" in [each.movement.name for each in found[:2]]


def test_somebody_who_stands_does_no_movement() -> None:
    standing = figure(TIME, Pose(2.0, 5.0, 5.0, 2.0, 2.0), "left", "ankle")
    with pytest.raises(MovementError, match="no movement of the catalogue clearly; say which with --movement M"):
        choose(seen(standing, "left"))


def suggestion(name: str, score: float) -> Suggestion:
    return Suggestion(load_movement(name), "reps", score)


def test_the_choice_is_left_open_when_two_are_as_likely() -> None:
    with pytest.raises(
        MovementError, match=r"may show push-up or pike-push-up; say which with --movement M"
    ) as refused:
        choose([suggestion("push-up", 0.8), suggestion("pike-push-up", 0.8 * APART + 0.01), suggestion("row", 0.1)])
    assert "\n" not in str(refused.value)


def test_the_choice_is_made_when_the_next_is_well_behind_or_the_same_movement() -> None:
    clear = [suggestion("push-up", 0.8), suggestion("push-up", 0.79), suggestion("row", 0.8 * APART - 0.01)]
    assert choose(clear) is clear[0]


@pytest.mark.parametrize("found", [[], [suggestion("row", SURE - 0.01)]])
def test_nothing_is_suggested_that_hardly_fits(found: list[Suggestion]) -> None:
    with pytest.raises(MovementError, match="no movement"):
        choose(found)
