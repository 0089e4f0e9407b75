"""Ways of showing a picture, with a landmarker that finds a mark: what it sees must come back to where it is."""

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.vision.drawn import STANDING, draw, person, room
from vision.pose import GREY, Bodies, Picture
from vision.shown import MIRROR, VISIBLE, look_alone, look_mirrored, look_turned, without
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


def test_nobody_else_is_shown() -> None:
    """Half the body's larger side is left round it; a mark beyond that is gone."""
    shown: list[Picture] = []

    def watched(picture: Picture) -> Bodies:
        shown.append(picture)
        return find(picture)

    image = np.maximum(marked(), 1)
    image[:, 700:] = 255
    found = look_alone(image, BODY, watched)
    assert found.points[0, INDEX["nose"]] == pytest.approx(MARK, abs=0.3)
    y, x = np.nonzero(np.any(shown[0] != GREY, axis=-1))
    assert (x.min(), x.max(), y.min(), y.max()) == (190, 629, 40, 469)


def test_mirrored_a_point_comes_back_and_the_other_side_is_named() -> None:
    """What the landmarker calls left in a mirror is right."""
    found = look_mirrored(marked(), find)
    assert found.points[0, INDEX["nose"]] == pytest.approx(MARK, abs=0.3)
    apart = found.points[0] - found.points[0, INDEX["nose"]]
    assert apart[INDEX["right_ear"], 0] == pytest.approx(-1)
    assert apart[INDEX["left_ear"], 0] == pytest.approx(0)
    assert found.world[0, 0] == pytest.approx([-0.3, -0.7, 0.2])


@pytest.mark.parametrize(("quarters", "expected"), [(1, (0.7, 0.3)), (2, (-0.3, 0.7)), (3, (-0.7, -0.3))])
def test_turned_a_point_comes_back_and_metres_turn_with_it(quarters: int, expected: tuple[float, float]) -> None:
    """Turned counterclockwise by a quarter, what pointed right in the picture points up."""
    found = look_turned(marked(), quarters, find)
    assert found.points[0, INDEX["nose"]] == pytest.approx(MARK, abs=0.3)
    assert found.world[0, 0] == pytest.approx([*expected, 0.2])


def test_the_mirror_swaps_every_pair_and_nothing_else() -> None:
    back: NDArray[np.int_] = MIRROR[MIRROR]
    assert back.tolist() == list(range(len(JOINTS)))
    for index, other in enumerate(MIRROR):
        swapped = JOINTS[index].replace("left", "*").replace("right", "left").replace("*", "right")
        assert JOINTS[other] == swapped


def test_a_body_that_is_painted_over_is_gone_and_the_one_beside_it_stays() -> None:
    wall, left, right = room(900, 640), person(STANDING, (250, 320)), person(STANDING, (650, 320))
    both = draw(draw(wall, left), right)
    shown = without(both, seen(left.joints))
    joints = left.joints.round().astype(int)
    assert (shown[joints[:, 1], joints[:, 0]] == GREY).all()
    assert np.array_equal(shown[:, 450:], both[:, 450:])
    assert np.array_equal(both, draw(draw(wall, left), right))


def test_a_joint_that_is_hardly_visible_may_be_somebody_elses_and_stays() -> None:
    picture, body = room(), seen(person(STANDING, (320, 320)).joints)
    hidden = body.visibility.copy()
    hidden[0, [INDEX["left_wrist"], INDEX["right_wrist"]]] = VISIBLE / 2
    x, y = body.points[0, INDEX["left_wrist"]].round().astype(int)
    assert (without(picture, body)[y, x] == GREY).all()
    far = Bodies(
        body.points + np.where(np.arange(len(JOINTS)) == INDEX["left_wrist"], 60, 0)[:, None], body.world, hidden
    )
    x, y = far.points[0, INDEX["left_wrist"]].round().astype(int)
    assert np.array_equal(without(picture, far)[y, x], picture[y, x])


def seen(joints: NDArray[np.float64]) -> Bodies:
    return Bodies(joints[None], np.zeros((1, len(JOINTS), 3)), np.ones((1, len(JOINTS))))
