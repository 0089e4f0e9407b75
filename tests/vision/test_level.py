"""Rooms are drawn through a pinhole that is turned by known angles, on noise and with leaning clutter."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from vision.edges import edges
from vision.level import ASSUMED_PITCH, ASSUMED_ROLL, Level, assumed, from_scene
from vision.room import FOCAL

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

LANDSCAPE = (1280, 720)
PORTRAIT = (720, 1280)
POSTS = ((-2.2, 5.0), (-1.6, 4.2), (-0.7, 6.0), (0.4, 5.5), (1.2, 4.4), (1.9, 4.9), (2.6, 6.0))
"""Where upright posts stand: metres to the right of the lens and away from it."""


def camera(roll: float, pitch: float) -> Array:
    """(3, 3) from the room (x right, y down, z away) to the camera's frame.

    Pitch first: with the lens up, what lies ahead on the level sinks in the picture. Then roll: with the floor rising
    toward the right, the picture's content turns counterclockwise.
    """
    p, r = np.radians(pitch), np.radians(roll)
    up = np.array([[1, 0, 0], [0, np.cos(p), np.sin(p)], [0, -np.sin(p), np.cos(p)]])
    turn = np.array([[np.cos(r), np.sin(r), 0], [-np.sin(r), np.cos(r), 0], [0, 0, 1]])
    return np.asarray(turn @ up)


def project(points: Array, view: Array, size: tuple[int, int], focal: float = FOCAL) -> Array:
    """Pixels (..., 2) of points (..., 3) in metres."""
    seen = points @ view.T
    centre = (np.array(size) - 1) / 2
    return np.asarray(seen[..., :2] / seen[..., 2:] * focal * max(size) + centre)


def fill(picture: Grey, corners: Array, shade: int) -> None:
    cv2.fillConvexPoly(picture, np.round(corners * 16).astype(np.int32), shade, cv2.LINE_AA, 4)


def room(roll: float, pitch: float, size: tuple[int, int], *, posts: int = len(POSTS), seed: int = 1) -> Grey:
    """Upright posts of a hand's breadth, a floor line, leaning clutter, grain."""
    random = np.random.default_rng(seed)
    view = camera(roll, pitch)
    picture = np.full(size[::-1], 120, np.uint8)
    floor = np.array([[-6, 1, 8], [6, 1, 8], [6, 1.0, 3], [-6, 1.0, 3]], dtype=float)
    fill(picture, project(floor, view, size), 95)
    for x, z in POSTS[:posts]:
        corners = np.array([[x, -1.4, z], [x + 0.12, -1.4, z], [x + 0.12, 1.0, z], [x, 1.0, z]])
        fill(picture, project(corners, view, size), int(random.integers(150, 230)))
    for _ in range(12):
        start = random.uniform(0, 1, 2) * size
        lean = np.radians(random.choice([-1, 1]) * random.uniform(5, 80))
        end = start + random.uniform(40, 120) * np.array([np.sin(lean), np.cos(lean)])
        cv2.line(picture, start.astype(int).tolist(), end.astype(int).tolist(), 40, 3, cv2.LINE_AA)
    return np.clip(picture + random.normal(0, 4, picture.shape), 0, 255).astype(np.uint8)


def levelled(roll: float, pitch: float, size: tuple[int, int], **how: int) -> Level:
    return from_scene([edges(room(roll, pitch, size, **how), None)], size)


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize(("roll", "pitch"), [(0, 0), (2, 0), (-5, 4), (8, -6), (-1, 10), (3, -12)])
def test_roll_and_pitch_from_upright_posts(roll: float, pitch: float, size: tuple[int, int]) -> None:
    found = levelled(roll, pitch, size)
    assert found.source == "scene"
    assert found.roll == pytest.approx(roll, abs=0.5)
    assert found.pitch == pytest.approx(pitch, abs=3.0)
    assert abs(found.roll - roll) < 2 * 1.96 * found.roll_u
    assert abs(found.pitch - pitch) < 2 * 1.96 * found.pitch_u
    assert found.roll_u < ASSUMED_ROLL


def test_several_looks_agree_with_one() -> None:
    lines = [edges(room(4, 5, LANDSCAPE, seed=seed), None) for seed in range(4)]
    one, four = from_scene(lines[:1], LANDSCAPE), from_scene(lines, LANDSCAPE)
    assert four.roll == pytest.approx(4, abs=0.5)
    assert four.pitch == pytest.approx(5, abs=3)
    # The posts are the same ones in every look: looking again does not make them more upright.
    assert four.roll_u > 0.6 * one.roll_u


@pytest.mark.parametrize("seed", [1, 9, 12, 31])
def test_a_room_without_upright_edges_is_taken_as_level(seed: int) -> None:
    found = levelled(6, 3, LANDSCAPE, posts=0, seed=seed)
    assert found.source == "assumed"
    assert (found.roll, found.pitch) == (0, 0)
    assert (found.roll_u, found.pitch_u) == (ASSUMED_ROLL, ASSUMED_PITCH)


@pytest.mark.parametrize("looks", [[], [np.zeros((0, 4))], [np.array([[10.0, 10, 10, 300], [50, 10, 52, 300]])]])
def test_too_few_edges_are_no_evidence(looks: list[Array]) -> None:
    assert from_scene(looks, LANDSCAPE).source == "assumed"


def test_many_edges_that_disagree_are_no_evidence() -> None:
    random = np.random.default_rng(3)
    start = random.uniform(0, 700, (60, 2))
    lean = np.radians(random.uniform(-14, 14, 60))
    end = start + 60 * np.stack([np.sin(lean), np.cos(lean)], axis=1)
    assert from_scene([np.hstack([start, end])], LANDSCAPE).source == "assumed"


def test_a_lens_other_than_assumed_is_within_the_stated_uncertainty() -> None:
    """Pitch is read off how fast upright edges lean together, so it carries the doubt about the focal length."""
    view = camera(2, 12)
    posts = np.array([[[x, -1.2, z], [x, 1.0, z]] for x, z in POSTS])
    for focal in (0.7, 0.9):
        lines = project(posts, view, LANDSCAPE, focal).reshape(-1, 4)
        found = from_scene([lines], LANDSCAPE)
        assert found.roll == pytest.approx(2, abs=0.5)
        assert abs(found.pitch - 12) < 1.96 * found.pitch_u


def test_rectified_makes_upright_edges_upright() -> None:
    view = camera(7, -9)
    posts = np.array([[[x, -1.2, z], [x, 1.0, z]] for x, z in (*POSTS, *((-x, z + 0.7) for x, z in POSTS))])
    seen = project(posts, view, LANDSCAPE)
    assert np.abs(np.diff(seen[..., 0], axis=1)).max() > 20
    found = from_scene([seen.reshape(-1, 4)], LANDSCAPE)
    upright = found.rectified(seen)
    along = upright[:, 1] - upright[:, 0]
    assert np.degrees(np.arctan2(along[:, 0], along[:, 1])) == pytest.approx(0, abs=0.2)


def test_rectified_restores_the_picture_of_a_level_lens() -> None:
    level = Level(camera(7, -9) @ [0, 1, 0], FOCAL * 1280, np.array([639.5, 359.5]), 0, 0, "sensor")
    points = np.array([[-0.5, 0.9, 4.0], [0.6, 0.9, 4.0], [0.1, -0.6, 4.0], [0.0, 0.2, 3.0]])
    seen = level.rectified(project(points, camera(7, -9), LANDSCAPE))
    # Gravity says nothing about a turn about the vertical: what is left is a small yaw, the same for all.
    flat = np.concatenate([(seen - level.centre) / level.focal, np.ones((4, 1))], axis=1)
    assert flat[:, 1] / np.hypot(flat[:, 0], 1) == pytest.approx(points[:, 1] / np.hypot(points[:, 0], points[:, 2]))
    yaw = np.degrees(np.arctan2(flat[:, 0], 1) - np.arctan2(points[:, 0], points[:, 2]))
    assert yaw == pytest.approx(yaw[0])
    assert abs(yaw[0]) < 1.5


@pytest.mark.parametrize(("roll", "pitch"), [(5, 0), (0, 8), (-4, -6)])
def test_signs_are_those_of_the_docstrings(roll: float, pitch: float) -> None:
    view = camera(roll, pitch)
    level = Level(view @ [0, 1, 0], FOCAL * 1280, np.array([639.5, 359.5]), 0, 0, "sensor")
    assert level.roll == pytest.approx(roll, abs=0.1)
    assert level.pitch == pytest.approx(pitch, abs=0.1)
    left, right = project(np.array([[-1, 1, 5], [1, 1, 5.0]]), view, LANDSCAPE)
    assert np.sign(left[1] - right[1]) == np.sign(roll)  # the floor rises toward the right
    horizon = project(np.array([0, 0, 1e6]), view, LANDSCAPE)
    assert np.sign(round(horizon[1] - 359.5, 6)) == np.sign(pitch)  # a lens that looks up has the horizon low


def test_down_follows_upright_edges_across_the_picture() -> None:
    view = camera(4, 10)
    level = Level(view @ [0, 1, 0], FOCAL * 1280, np.array([639.5, 359.5]), 0, 0, "sensor")
    for x in (-1.5, 0.0, 1.5):
        top, foot = project(np.array([[x, -0.5, 4], [x, 0.5, 4]]), view, LANDSCAPE)
        along = (foot - top) / np.linalg.norm(foot - top)
        assert level.down((top + foot) / 2) == pytest.approx(along, abs=2e-3)


def test_a_level_lens_leaves_points_where_they_are() -> None:
    points = np.array([[0.0, 0.0], [100, 700], [1279, 3]])
    assert assumed(LANDSCAPE).rectified(points) == pytest.approx(points)
    assert assumed(LANDSCAPE).down(points[1]) == pytest.approx([0, 1])
