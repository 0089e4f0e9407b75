"""Cut-outs with a landmarker that finds a mark: what it sees must come back to where it is in the picture."""

import numpy as np
import pytest
from numpy.typing import NDArray

from vision.cutout import LARGEST, MIRROR, Cut, look_close, look_upside_down
from vision.pose import Bodies, Picture
from vision.skeleton import INDEX, JOINTS

MARK = np.array([412.0, 233.0])
WORLD = np.array([0.3, -0.7, 0.2])
BODY = np.array([[300.0, 150.0], [520.0, 360.0]])


def marked(size: tuple[int, int] = (480, 800)) -> Picture:
    """Black but for a white spot about MARK."""
    y, x = np.mgrid[: size[0], : size[1]]
    spot = 255 * np.exp(-((x - MARK[0]) ** 2 + (y - MARK[1]) ** 2) / 50)
    return np.repeat(spot[..., None], 3, axis=2).astype(np.uint8)


def find(picture: Picture) -> Bodies:
    """All joints at the centre of what is bright; those of the left ear one pixel to its right."""
    bright = picture[..., 0] * (picture[..., 0] > 150).astype(float)  # the border is grey
    y, x = np.mgrid[: picture.shape[0], : picture.shape[1]]
    centre = np.array([(bright * x).sum(), (bright * y).sum()]) / bright.sum()
    points = np.tile(centre, (1, len(JOINTS), 1))
    points[0, INDEX["left_ear"], 0] += 1
    return Bodies(points, np.tile(WORLD, (1, len(JOINTS), 1)), np.ones((1, len(JOINTS))))


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("turn", [0, 90, 180, -90, 30])
@pytest.mark.parametrize("margin", [0.15, 0.8])
def test_a_point_comes_back_to_where_it_is(margin: float, turn: float, *, mirrored: bool) -> None:
    found = look_close(marked(), BODY, Cut(margin, turn, mirrored), find)
    assert found.points[0, INDEX["nose"]] == pytest.approx(MARK, abs=0.6)


def test_a_large_body_is_shown_smaller_and_still_comes_back() -> None:
    shown: list[int] = []

    def watched(picture: Picture) -> Bodies:
        shown.append(picture.shape[0])
        return find(picture)

    found = look_close(marked((900, 1300)), BODY * 2, Cut(0.5), watched)
    assert shown == [LARGEST]
    assert found.points[0, 0] == pytest.approx(MARK, abs=1.5)


def test_mirrored_the_other_side_is_named() -> None:
    """What the landmarker calls left in a mirror is right."""
    found = look_close(marked(), BODY, Cut(0.3, mirrored=True), find)
    apart = found.points[0] - found.points[0, INDEX["nose"]]
    assert apart[INDEX["right_ear"], 0] == pytest.approx(-1, abs=0.1)
    assert apart[INDEX["left_ear"], 0] == pytest.approx(0, abs=0.1)


@pytest.mark.parametrize(("turn", "expected"), [(0, (0.3, -0.7)), (180, (-0.3, 0.7)), (90, (0.7, 0.3))])
def test_metres_turn_back_with_the_picture(turn: float, expected: tuple[float, float]) -> None:
    """By 90 degrees counterclockwise, what pointed right in the picture points up in the cut-out."""
    found = look_close(marked(), BODY, Cut(0.3, turn), find)
    assert found.world[0, 0] == pytest.approx([*expected, 0.2], abs=1e-6)


def test_upside_down_a_point_comes_back_too() -> None:
    found = look_upside_down(marked(), find)
    assert found.points[0, 0] == pytest.approx(MARK, abs=0.3)
    assert found.world[0, 0] == pytest.approx([-0.3, 0.7, 0.2])


def test_the_mirror_swaps_every_pair_and_nothing_else() -> None:
    back: NDArray[np.int_] = MIRROR[MIRROR]
    assert back.tolist() == list(range(len(JOINTS)))
    for index, other in enumerate(MIRROR):
        swapped = JOINTS[index].replace("left", "*").replace("right", "left").replace("*", "right")
        assert JOINTS[other] == swapped
