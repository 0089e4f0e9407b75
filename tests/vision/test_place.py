"""A larger model places the joints of a body that has been found: on a drawn figure whose joints are known."""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from models.pose import weights_path
from tests.bench.truth import read_truth
from vision.clip import Clip, open_clip
from vision.looks import JUMP
from vision.place import place
from vision.pose import Bodies, extent
from vision.shown import swapped
from vision.skeleton import JOINTS

SAMPLE = Path(__file__).parents[2] / "sample_clips" / "push-up-flat.mp4"
FRAMES = (0, 5, 10)


@pytest.fixture(scope="module")
def clip() -> Clip:
    return open_clip(SAMPLE)


@pytest.fixture(scope="module")
def true() -> dict[int, Bodies]:
    """The athlete in the first looks, every joint where it is."""
    frames = read_truth(SAMPLE).frames
    points = np.stack([np.array(frames["joints"][name]["px"], float) for name in JOINTS], axis=1)
    return {i: Bodies(points[[i]], np.zeros((1, len(JOINTS), 3)), np.ones((1, len(JOINTS)))) for i in FRAMES}


def off(body: Bodies, true: Bodies) -> float:
    """Mean distance of the joints, share of the extent."""
    return float(np.mean(np.linalg.norm(body.points - true.points, axis=-1)) / extent(true.points)[0])


def scattered(body: Bodies, by: float) -> Bodies:
    """The body with its joints moved about by such a share of its extent on average."""
    moved: NDArray[np.float64] = np.random.default_rng(1).normal(size=body.points.shape)
    size = by * extent(body.points)[0] / np.linalg.norm(moved, axis=-1).mean()
    return Bodies(body.points + size * moved, body.world, body.visibility)


def test_joints_that_were_found_roughly_are_placed(clip: Clip, true: dict[int, Bodies]) -> None:
    told: list[float] = []
    placed = place(clip, weights_path(), {i: scattered(body, 0.05) for i, body in true.items()}, told.append)
    assert tuple(placed) == FRAMES
    assert told == sorted(told)
    assert len(told) == len(FRAMES)
    for i, each in placed.items():
        assert off(each.body, true[i]) < 0.035
        assert np.array_equal(each.body.visibility, true[i].visibility)


def test_disagreement_is_how_far_each_joint_was_moved(clip: Clip, true: dict[int, Bodies]) -> None:
    found = {i: scattered(body, 0.05) for i, body in true.items()}
    for i, each in place(clip, weights_path(), found).items():
        assert each.disagreement == pytest.approx(np.linalg.norm(each.body.points - found[i].points, axis=-1)[0])


def test_left_and_right_stay_as_they_were_found(clip: Clip, true: dict[int, Bodies]) -> None:
    placed = place(clip, weights_path(), {i: swapped(body) for i, body in true.items()})
    assert all(off(each.body, swapped(true[i])) < 0.035 for i, each in placed.items())


def test_body_that_stands_elsewhere_keeps_its_joints_and_is_in_doubt(clip: Clip, true: dict[int, Bodies]) -> None:
    elsewhere = {i: scattered(body, 0.3) for i, body in true.items()}
    for i, each in place(clip, weights_path(), elsewhere).items():
        assert np.array_equal(each.body.points, elsewhere[i].points)
        assert each.disagreement.min() == pytest.approx(JUMP * extent(elsewhere[i].points)[0])


def test_weights_without_a_larger_model_place_nothing(
    clip: Clip, true: dict[int, Bodies], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("vision.place.larger_bundle", lambda _: None)
    placed = place(clip, weights_path(), true)
    assert {i: each.body for i, each in placed.items()} == true
    assert not any(each.disagreement.any() for each in placed.values())
