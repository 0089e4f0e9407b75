"""Made-up looks at an athlete and a helper."""

import numpy as np
from numpy.typing import NDArray

from models.movements import load_movement
from tests.vision.drawn import STANDING, UPSIDE_DOWN, person
from vision.athlete import alike, doubtful, others_in
from vision.looks import Look, Looks
from vision.pose import Bodies
from vision.resemblance import Sought, sought
from vision.skeleton import JOINTS

HELPER = person(STANDING, (300, 300)).joints
ATHLETE = person(UPSIDE_DOWN, (420, 300)).joints


def handstand() -> Sought:
    found = sought(load_movement("handstand"))
    assert found is not None
    return found


def bodies(*people: NDArray[np.float64]) -> Bodies:
    n = len(people)
    return Bodies(np.array(people).reshape(n, len(JOINTS), 2), np.zeros((n, len(JOINTS), 3)), np.ones((n, len(JOINTS))))


def seen(*around: Bodies) -> Looks:
    return Looks((), tuple(Look(30 * i, float(i), each) for i, each in enumerate(around)), (640, 640))


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
    short, long = ({frame: bodies(ATHLETE) for frame in range(n)} for n in (2, 6))
    assert alike(short, handstand()) < alike(long, handstand())
    assert alike({frame: bodies(HELPER) for frame in range(6)}, handstand()) < alike(long, handstand())
