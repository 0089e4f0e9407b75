"""Stretches followed side by side against the same clip followed picture after picture."""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from models.errors import ClipError
from tests.vision.bodies import Pose
from tests.vision.drawn import draw, person, room
from vision.clip import open_clip
from vision.encode import write_clip
from vision.flow import Step, background_points, step
from vision.follow import BACKGROUND_LASTS, EDGES, follow

RATE, FRAMES = 20, 46
UNSEEN = slice(12, 25)
BENDING = [person(Pose(5 + i / 4, 40 + i, 60 - i, 10, 5), (330, 300)) for i in range(FRAMES)]
BODY = np.stack([who.joints for who in BENDING])


@pytest.fixture(scope="module")
def bending(tmp_path_factory: pytest.TempPathFactory) -> Path:
    wall = room()
    path = tmp_path_factory.mktemp("clips") / "bending.mp4"
    write_clip(path, ((i / RATE, draw(wall, who)) for i, who in enumerate(BENDING)))
    return path


def one_by_one(path: Path, present: NDArray[np.bool_]) -> list[Step | None]:
    """Every picture after the one before."""
    clip = open_clip(path)
    greys = [cv2.cvtColor(frame.image, cv2.COLOR_RGB2GRAY) for frame in clip.frames()]
    points, chosen_at = background_points(greys[0], BODY[0]), 0.0
    steps: list[Step | None] = [None]
    for i in range(1, len(greys)):
        moved = step(greys[i - 1], greys[i], BODY[i - 1], points) if present[i - 1] and present[i] else None
        points = points if moved is None else moved.followed
        if clip.times[i] - chosen_at >= BACKGROUND_LASTS:
            points, chosen_at = background_points(greys[i], BODY[i]), clip.times[i]
        steps.append(moved)
    return steps


def test_following_in_stretches_changes_no_number(bending: Path) -> None:
    present = np.ones(FRAMES, bool)
    present[UNSEEN] = False
    told: list[float] = []
    found = follow(open_clip(bending), BODY, present, told.append)
    expected = one_by_one(bending, present)
    assert len(found.steps) == len(expected) == FRAMES
    for mine, plain in zip(found.steps, expected, strict=True):
        assert (mine is None) == (plain is None)
        if mine is not None and plain is not None:
            np.testing.assert_array_equal(mine.joints, plain.joints)
            np.testing.assert_array_equal(mine.sd, plain.sd)
            np.testing.assert_array_equal(mine.background, plain.background)
            np.testing.assert_array_equal(mine.followed, plain.followed)
            assert mine.background_points == plain.background_points > 0
    assert [i for i, moved in enumerate(found.steps) if moved is None] == [0, *range(UNSEEN.start, UNSEEN.stop + 1)]
    assert told == sorted(told)
    assert told[-1] == 1


def test_the_scene_is_looked_at_all_through_the_clip(bending: Path) -> None:
    found = follow(open_clip(bending), BODY, np.zeros(FRAMES, bool))
    assert [frame for frame, _ in found.edges] == np.linspace(0, FRAMES - 1, EDGES).round().tolist()


def test_a_clip_that_is_damaged_further_on_is_told(bending: Path, tmp_path: Path) -> None:
    clip = open_clip(bending)
    whole = bytearray(bending.read_bytes())
    start = len(whole) // 2
    whole[start : start + 4000] = bytes(4000)
    damaged = tmp_path / "damaged.mp4"
    damaged.write_bytes(bytes(whole))
    with pytest.raises(ClipError, match="damaged"):
        follow(replace(clip, path=damaged), BODY, np.ones(FRAMES, bool))
