"""The landmark model itself, on a drawn person: it need not be exact here, but in place, in order and quiet."""

from collections.abc import Iterator

import numpy as np
import pytest

from models.pose import weights_path
from tests.vision.bodies import Pose
from tests.vision.drawn import SQUATTING, STANDING, Person, draw, person, room
from vision.pose import Bodies, Landmarker, extent, landmarker
from vision.skeleton import INDEX, JOINTS

NEAR = [INDEX[f"left_{name}"] for name in ("ear", "shoulder", "elbow", "hip", "knee", "ankle")]


@pytest.fixture(scope="module")
def find() -> Iterator[Landmarker]:
    with landmarker(weights_path(), most=3) as found:
        yield found


def miss(bodies: Bodies, who: Person, which: int = 0) -> float:
    """Median distance of the near side's landmarks from where they were drawn, as a share of the body's extent."""
    apart = np.linalg.norm(bodies.points[which, NEAR] - who.joints[NEAR], axis=1)
    return float(np.median(apart) / extent(who.joints))


@pytest.mark.parametrize("pose", [STANDING, SQUATTING], ids=["standing", "squatting"])
def test_joints_are_found_where_they_are(find: Landmarker, pose: Pose) -> None:
    who = person(pose, (320, 320))
    bodies = find(draw(room(), who))
    assert len(bodies) == 1
    assert bodies.points.shape == (1, len(JOINTS), 2)
    assert bodies.world.shape == (1, len(JOINTS), 3)
    assert ((bodies.visibility >= 0) & (bodies.visibility <= 1)).all()
    assert miss(bodies, who) < 0.05


@pytest.mark.parametrize(("width", "height"), [(1000, 640), (640, 900)], ids=["wide", "high"])
def test_a_picture_that_is_not_square_is_not_stretched(find: Landmarker, width: int, height: int) -> None:
    who = person(SQUATTING, (0.6 * width, 0.45 * height))
    assert miss(find(draw(room(width, height), who)), who) < 0.05


def test_metres_have_the_pictures_axes(find: Landmarker) -> None:
    """x right, y down, from the middle of the hips, in metres."""
    who = person(STANDING, (320, 320))
    world = find(draw(room(), who)).world[0]
    hips = (world[INDEX["left_hip"]] + world[INDEX["right_hip"]]) / 2
    assert hips == pytest.approx([0, 0, 0], abs=0.05)
    shoulder, ankle = world[INDEX["left_shoulder"]], world[INDEX["left_ankle"]]
    assert 0.3 < -shoulder[1] < 0.7
    assert 0.5 < ankle[1] < 1.0
    assert world[INDEX["left_hip"], 2] < world[INDEX["right_hip"], 2]  # the near side is nearer


def test_nobody_in_an_empty_room(find: Landmarker) -> None:
    bodies = find(room())
    assert len(bodies) == 0
    assert bodies.points.shape == (0, len(JOINTS), 2)


def test_the_largest_body_comes_first(find: Landmarker) -> None:
    small, large = person(STANDING, (220, 420), 170), person(STANDING, (760, 320), 300)
    bodies = find(draw(draw(room(1100, 640), small), large))
    assert len(bodies) == 2
    assert miss(bodies, large, 0) < 0.06
    assert miss(bodies, small, 1) < 0.06
    assert extent(bodies.points[0]) > extent(bodies.points[1])


def test_tracking_follows_at_once() -> None:
    """The first picture after a move shows nine tenths of it and more; with smoothing over time it shows three quarters."""
    before, after = person(SQUATTING, (300, 320)), person(SQUATTING, (330, 320))
    with landmarker(weights_path(), tracking=True) as track:
        at_rest = [track(draw(room(), before)) for _ in range(6)][-1]
        moved = track(draw(room(), after))
    assert miss(moved, after) < 0.05
    assert np.mean(moved.points[0, NEAR, 0] - at_rest.points[0, NEAR, 0]) == pytest.approx(30, abs=3)


def test_the_library_keeps_off_standard_error(capfd: pytest.CaptureFixture[str]) -> None:
    with landmarker(weights_path()) as find_one:
        find_one(draw(room(), person(STANDING, (320, 320))))
    assert capfd.readouterr().err == ""


def test_extent_is_the_diagonal_of_the_box() -> None:
    points = np.array([[[0.0, 0], [3, 4], [1, 1]], [[5, 5], [5, 5], [5, 15]]])
    assert extent(points) == pytest.approx([5, 10])
