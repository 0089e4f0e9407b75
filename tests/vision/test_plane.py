import numpy as np
import pytest

from models.document import Side
from models.movements import load_movement
from tests.vision.bodies import TALL, Pose, figure, in_space
from tests.vision.lens import Lens, filmed
from vision.breadth import BREADTH
from vision.plane import Eye, eye_of, front
from vision.sight import rays_of
from vision.skeleton import INDEX

TIME = np.arange(0, 1, 1 / 30)
NEAR: tuple[Side, Side] = ("left", "right")


@pytest.mark.parametrize("near", NEAR)
def test_ahead_is_where_an_upright_belly_faces_and_up_is_up(near: Side) -> None:
    """Seen from the athlete's left the belly faces the picture's left; rays count to the right and down."""
    eye = Eye(near, distance=2.0)
    ahead = np.array([1.0 if near == "right" else -1.0, 0.0])
    assert eye.place(0.1 * ahead, 0.0)[0] > 0
    assert eye.place(np.array([0.0, -0.1]), 0.0)[1] > 0


def test_a_ray_is_followed_as_far_as_its_point_is_away() -> None:
    """Two heights to the middle plane, 0.15 less to a near hand."""
    assert Eye("right", 2.0).place(np.array([0.1, 0.0]), 0.0)[0] == pytest.approx(0.1 * 2)
    assert Eye("right", 2.0).place(np.array([0.1, 0.0]), 0.15)[0] == pytest.approx(0.1 * 1.85)


@pytest.mark.parametrize("lens", [Lens(), Lens(2.5, 0.2, pitch=20), Lens(6, 1.8, pitch=-8)])
def test_the_distance_is_the_lens_s(lens: Lens) -> None:
    seen = filmed(TIME, figure(TIME, Pose(0, 10, 20, 5, 5), "left", "ankle"), load_movement("squat"), "left", lens)
    assert eye_of(seen).distance == pytest.approx(lens.distance / TALL, rel=0.005)


def test_many_points_at_once() -> None:
    rays = np.array([[0.1, -0.2], [0.3, 0.4]])
    eye = Eye("left", 2.0)
    together = eye.place(rays, np.array([0.0, 0.1]))
    assert together == pytest.approx(np.stack([eye.place(rays[0], 0.0), eye.place(rays[1], 0.1)]))


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", [Lens(), Lens(2.5, 0.2), Lens(2.5, 0.2, pitch=20), Lens(6, 1.8, pitch=-8)])
def test_joints_of_a_figure_come_back_where_they_are(near: Side, lens: Lens) -> None:
    """Whatever the lens's place: near limbs are brought into the middle plane, in shares of height."""
    joints = figure(TIME, Pose(10, 150, 40, 30, 20), near, "ankle")
    seen = filmed(TIME, joints, load_movement("pull-up"), near, lens)
    eye = eye_of(seen)
    ahead = 1 if near == "right" else -1
    for name in ("shoulder", "elbow", "wrist", "knee", "ankle"):
        true = (joints[0, INDEX[f"{near}_{name}"]] - joints[0, INDEX["nose"]]) * [ahead, -1] / TALL
        breadth = -in_space(joints, near)[0, INDEX[f"{near}_{name}"], 2] / TALL
        found = eye.place(rays_of(seen, name)[0], breadth) - eye.place(rays_of(seen, "nose")[0], 0.0)
        assert found == pytest.approx(true, abs=0.004), name


def test_without_the_breadths_a_low_lens_shows_the_hand_too_high_against_the_face() -> None:
    """What the plane is for: a bar by two metres over a lens near the ground, by the size of a hand's breadth."""
    joints = figure(TIME, Pose(0, 170, 20), "left", "ankle")
    seen = filmed(TIME, joints, load_movement("pull-up"), "left", Lens(2.5, 0.0))
    eye = eye_of(seen)
    wrist, nose = rays_of(seen, "wrist")[0], rays_of(seen, "nose")[0]
    true = -(joints[0, INDEX["left_wrist"]] - joints[0, INDEX["nose"]])[1] / TALL
    assert eye.place(wrist, 0.0)[1] - eye.place(nose, 0.0)[1] > true + 0.05
    assert eye.place(wrist, BREADTH["wrist"])[1] - eye.place(nose, 0.0)[1] == pytest.approx(true, abs=0.004)


@pytest.mark.parametrize(
    ("toward_head", "expected"), [((0, 2), (1, 0)), ((0, -1), (-1, 0)), ((1, 0), (0, -1)), ((-3, 0), (0, 1))]
)
def test_the_front_of_a_segment(toward_head: tuple[float, float], expected: tuple[float, float]) -> None:
    """Upright: ahead; upside down: back; face down, head ahead: down; on the back, head behind: up."""
    assert front(np.array(toward_head, dtype=float)) == pytest.approx(expected)
