"""Edges are looked for in pictures that are drawn here, with a body whose joints are known in front of them."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tests.vision.bodies import Pose, figure, landmarks
from vision.edges import ON_BODY, SHORTEST, edges
from vision.pose import extent
from vision.skeleton import INDEX

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

WIDTH, HEIGHT = 1280, 720


def plain(shade: int = 120) -> Grey:
    return np.full((HEIGHT, WIDTH), shade, np.uint8)


def bar(picture: Grey, start: tuple[float, float], end: tuple[float, float], thick: int = 12) -> Grey:
    """A bar with two long edges."""
    cv2.line(picture, tuple(map(round, start)), tuple(map(round, end)), 230, thick, cv2.LINE_AA)
    return picture


def hanging() -> Array:
    """Joints (joints, 2) of somebody who hangs at arm's length, hands near the top of the picture."""
    time = np.zeros(1)
    joints = landmarks(figure(time, Pose(5, 5, 170), "left", "wrist"), "left")[0]
    size = joints - joints.mean(0)
    return np.asarray(size / extent(size) * 400 + [640, 400])


def lean(line: Array) -> float:
    """Degrees from the picture's row, 0 to 180."""
    return float(np.degrees(np.arctan2(line[3] - line[1], line[2] - line[0])) % 180)


@pytest.mark.parametrize("angle", [0, 20, 45, 88, 135])
def test_edges_run_along_what_is_drawn_whatever_its_direction(angle: float) -> None:
    along = 250 * np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    centre = np.array([WIDTH, HEIGHT]) / 2
    found = edges(bar(plain(), tuple(centre - along), tuple(centre + along)), None)
    long = found[np.hypot(*(found[:, 2:] - found[:, :2]).T) > 300]
    assert len(long) == 2
    for line in long:
        assert (lean(line) - angle + 90) % 180 - 90 == pytest.approx(0, abs=0.5)


def test_a_plain_picture_has_no_edges() -> None:
    assert edges(plain(), None).shape == (0, 4)


def test_short_edges_are_left_out() -> None:
    picture = plain()
    for x in range(100, 1200, 60):
        cv2.rectangle(picture, (x, 100), (x + 14, 114), 230, -1)
    assert len(edges(picture, None)) == 0
    assert SHORTEST * HEIGHT > 14


def test_edges_along_the_body_are_left_out() -> None:
    body = hanging()
    hip, ankle = body[INDEX["left_hip"]], body[INDEX["left_ankle"]]
    aside = np.array([0.5 * ON_BODY * extent(body), 0])
    picture = bar(plain(), tuple(hip + aside), tuple(ankle + aside))
    assert len(edges(picture, None)) >= 2
    assert len(edges(picture, body)) == 0


def test_a_post_beside_the_body_inside_its_box_is_kept() -> None:
    body = hanging()
    x = body[:, 0].max() + 1.5 * ON_BODY * extent(body)
    wide = body.copy()
    wide[INDEX["right_toe"]] = [x + 60, body[:, 1].max()]  # a foot put forward widens the box beyond the post
    found = edges(bar(plain(), (x, body[:, 1].min() + 20), (x, body[:, 1].min() + 220)), wide)
    assert len(found) >= 2
    assert found[:, [0, 2]].max() < wide[:, 0].max()


def test_a_strap_that_hangs_to_a_hand_is_kept() -> None:
    body = hanging()
    hand = body[INDEX["left_index"]]
    found = edges(bar(plain(), (hand[0], 5), tuple(hand)), body)
    assert len(found) >= 2
    for line in found:
        assert lean(line) == pytest.approx(90, abs=1)
