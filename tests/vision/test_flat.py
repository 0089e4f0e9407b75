"""Figures with a breadth, seen through a lens that is known exactly."""

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import load_movement
from tests.vision.bodies import Pose, figure, in_space
from tests.vision.lens import Lens, filmed
from vision.angles import inner_angle
from vision.breadth import BREADTH
from vision.flat import flattened
from vision.skeleton import INDEX

Array = NDArray[np.float64]

TIME = np.arange(0, 1, 1 / 15)
HERE = np.ones(len(TIME), bool)
PUSH_UP = load_movement("push-up")
NEAR: tuple[Side, ...] = ("left", "right")
LENSES = (Lens(3.0, 1.0), Lens(2.5, 0.1), Lens(3.5, 1.8))


def level_body(near: Side) -> Array:
    """Trunk and legs level, arms hanging."""
    return figure(TIME, Pose(90, 90), near, "wrist")


def flat(joints: Array, near: Side, lens: Lens, breadth: dict[str, float]) -> Array:
    level = lens.level
    return flattened(level.rectified(lens.project(in_space(joints, near))), HERE, level, near, breadth)


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", LENSES)
def test_both_sides_come_to_lie_where_the_middle_plane_shows_them(near: Side, lens: Lens) -> None:
    joints = level_body(near)
    middle = lens.level.rectified(lens.project(np.concatenate([joints, 0 * joints[..., :1]], axis=2)))
    found = flat(joints, near, lens, BREADTH)
    raw = flat(joints, near, lens, dict.fromkeys(BREADTH, 0.0))
    for name in ("shoulder", "elbow", "wrist", "hip", "knee", "ankle"):
        for side in NEAR:
            at = INDEX[f"{side}_{name}"]
            off, before = (float(np.abs(points[:, at] - middle[:, at]).max()) for points in (found, raw))
            assert off < 1.5
            assert off < 0.25 * before + 0.3


@pytest.mark.parametrize("name", ["shoulder", "elbow", "wrist"])
def test_a_straight_arm_is_straight_whatever_its_breadths(name: str) -> None:
    joints = level_body("left")
    breadth = {**BREADTH, name: BREADTH[name] + 0.04}
    arm = flat(joints, "left", LENSES[2], breadth)[:, [INDEX[f"left_{n}"] for n in ("shoulder", "elbow", "wrist")]]
    assert inner_angle(arm[:, 0], arm[:, 1], arm[:, 2]) == pytest.approx(0, abs=0.5)


def test_without_breadths_nothing_moves() -> None:
    lens = LENSES[0]
    joints = level_body("left")
    assert flat(joints, "left", lens, dict.fromkeys(BREADTH, 0.0)) == pytest.approx(
        lens.level.rectified(lens.project(in_space(joints, "left")))
    )


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", LENSES)
def test_a_level_body_is_level_from_any_height(near: Side, lens: Lens) -> None:
    seen = filmed(TIME, level_body(near), PUSH_UP, near, lens)
    for name in ("body", "trunk", "legs"):
        assert seen.angles[name] == pytest.approx(0, abs=0.4)


def test_left_as_it_is_the_trunk_would_be_degrees_off() -> None:
    """Shoulder and hip differ by 0.05 of 1.75 m in breadth: 0.45 m up at 3 m, 1.3 cm over a trunk of half a metre."""
    joints = level_body("left")
    raw = flat(joints, "left", LENSES[0], dict.fromkeys(BREADTH, 0.0))
    along = raw[0, INDEX["left_shoulder"]] - raw[0, INDEX["left_hip"]]
    assert abs(np.degrees(np.arctan2(along[1], abs(along[0])))) == pytest.approx(1.5, abs=0.3)


def test_the_doubt_about_breadths_shows_where_the_lens_is_high() -> None:
    high, level = (
        filmed(TIME, level_body("left"), PUSH_UP, "left", lens) for lens in (Lens(3.0, 1.5), Lens(3.0, 0.55))
    )
    assert np.median(high.level_sd["trunk"]) > 1.3 * np.median(level.level_sd["trunk"])
