"""Made-up looks at an athlete and a helper."""

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import load_movement
from tests.vision.bodies import Pose, body, figure
from tests.vision.drawn import STANDING, UPSIDE_DOWN, person
from vision.athlete import alike, doubtful, others_in, rightly_named
from vision.looks import Look, Looks
from vision.pose import Bodies
from vision.resemblance import Sought, sought
from vision.shown import swapped
from vision.skeleton import JOINTS

HELPER = person(STANDING, (300, 300)).joints
ATHLETE = person(UPSIDE_DOWN, (420, 300)).joints


def wanted(movement: str) -> Sought:
    found = sought(load_movement(movement))
    assert found is not None
    return found


def handstand() -> Sought:
    return wanted("handstand")


def bodies(*people: NDArray[np.float64]) -> Bodies:
    n = len(people)
    return Bodies(np.array(people).reshape(n, len(JOINTS), 2), np.zeros((n, len(JOINTS), 3)), np.ones((n, len(JOINTS))))


def seen(*around: Bodies) -> Looks:
    return Looks((), tuple(Look(30 * i, float(i), each) for i, each in enumerate(around)), (640, 640), 6)


def test_an_athlete_seen_clearly_is_not_doubtful() -> None:
    followed = {frame: bodies(ATHLETE) for frame in range(4)}
    assert not doubtful(seen(bodies(ATHLETE, HELPER), bodies(ATHLETE)), followed, handstand())


def test_a_helper_who_is_followed_is_doubtful() -> None:
    followed = {frame: bodies(HELPER) for frame in range(4)}
    assert doubtful(seen(bodies(ATHLETE)), followed, handstand())


def test_somebody_whom_no_look_at_the_whole_picture_sees_is_doubtful() -> None:
    followed = {frame: bodies(ATHLETE) for frame in range(4)}
    assert doubtful(seen(bodies(HELPER), bodies(HELPER), bodies(ATHLETE)), followed, handstand())


def test_a_clip_with_nobody_in_it_is_not_doubtful() -> None:
    assert not doubtful(seen(bodies()), {}, handstand())


def test_others_are_those_who_do_something_else() -> None:
    found = others_in(seen(bodies(ATHLETE), bodies(ATHLETE, HELPER)), handstand())
    assert [look.time for look in found] == [1.0]
    assert np.array_equal(found[0].candidates.points, HELPER[None])


def test_of_two_followed_the_one_who_does_it_in_more_looks_is_alike() -> None:
    short, long = ([bodies(ATHLETE)] * n for n in (2, 6))
    assert alike(short, handstand()) < alike(long, handstand())
    assert alike([bodies(HELPER)] * 6, handstand()) < alike(long, handstand())


def test_where_nobody_said_what_is_done_whoever_is_seen_in_more_looks_counts_more() -> None:
    assert alike([bodies(HELPER)] * 2, None) < alike([bodies(ATHLETE)] * 3, None)


def followed_from_the_side(pose: Pose, near: Side) -> dict[int, Bodies]:
    time = np.arange(5.0)
    seen = body(time, figure(time, pose, near, "wrist"), near)
    rows = zip(seen.joints, seen.world, seen.visibility, strict=True)
    return {i: Bodies(*(values[None] for values in row)) for i, row in enumerate(rows)}


@pytest.mark.parametrize("near", ["left", "right"])
@pytest.mark.parametrize(("movement", "pose"), [("planche", Pose(90, 45)), ("front-lever", Pose(-90, 50))])
def test_left_and_right_are_exchanged_where_the_joints_would_bend_the_wrong_way(
    movement: str, pose: Pose, near: Side
) -> None:
    right = followed_from_the_side(pose, near)
    wrong = {frame: swapped(each) for frame, each in right.items()}
    for given in (right, wrong):
        found = rightly_named(given, wanted(movement))
        assert all(np.array_equal(found[frame].points, right[frame].points) for frame in right)


def test_names_stay_where_the_posture_does_not_tell() -> None:
    followed = followed_from_the_side(Pose(180, 180), "left")
    assert rightly_named(followed, handstand()) is followed
    assert rightly_named({}, handstand()) == {}
