from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from models.movements import load_movement
from tests.vision.bodies import Pose
from tests.vision.drawn import STANDING, UPSIDE_DOWN, person
from vision.people import crowded, instead, nearest, pick, rival, stands_by
from vision.pose import Bodies
from vision.resemblance import sought
from vision.skeleton import INDEX, JOINTS

Array = NDArray[np.float64]

WIDTH = 1000
LOW = Pose(35, 80, 10, 95, 100)


def bodies(*people: Array) -> Bodies:
    n = len(people)
    return Bodies(np.array(people), np.zeros((n, len(JOINTS), 3)), np.ones((n, len(JOINTS))))


def test_at_first_the_largest_is_the_athlete() -> None:
    large, small = person(STANDING, (300, 300), 300).joints, person(STANDING, (700, 300), 200).joints
    assert pick(bodies(small, large), WIDTH) == 1


def test_of_two_alike_the_one_in_the_middle_is_the_athlete() -> None:
    aside, middle = (person(STANDING, (x, 300)).joints for x in (100, 480))
    assert pick(bodies(aside, middle), WIDTH) == 1


def test_the_athlete_is_who_stands_where_the_athlete_stood() -> None:
    large, small = person(STANDING, (200, 300), 300).joints, person(STANDING, (700, 300), 200).joints
    assert nearest(bodies(large, small), small + 15) == 1


def test_somebody_who_stands_by_is_not_the_athlete() -> None:
    idle, training = person(STANDING, (500, 300)).joints, person(LOW, (200, 300)).joints
    assert pick(bodies(idle, training), WIDTH) == 1


def test_who_trains_while_the_one_followed_stands_by_is_a_rival() -> None:
    """At first both stand, and the wrong one is taken for the athlete."""
    idle = person(STANDING, (500, 300)).joints
    standing, low = (person(pose, (200, 300)).joints for pose in (STANDING, LOW))
    around = [bodies(idle, standing), bodies(idle, low), bodies(idle, low), bodies(idle)]
    found = rival(around, [idle] * 4)
    assert found is not None
    assert np.abs(found - standing).max() < 200
    assert np.abs(found - idle).max() > 250


def test_who_stands_by_is_no_rival() -> None:
    idle = person(STANDING, (500, 300)).joints
    training = [person(pose, (200, 300)).joints for pose in (STANDING, LOW, LOW)]
    assert rival([bodies(idle, each) for each in training], training) is None
    assert rival([bodies(each) for each in training], training) is None


def test_standing_by_is_upright_with_the_hands_down() -> None:
    hanging = replace(person(STANDING, (500, 300)))
    hanging.joints[[INDEX["left_wrist"], INDEX["right_wrist"]], 1] -= 400
    seen = bodies(person(STANDING, (200, 300)).joints, person(LOW, (200, 300)).joints, hanging.joints)
    assert stands_by(seen.points).tolist() == [True, False, False]


@pytest.mark.parametrize(("other", "expected"), [(STANDING, False), (LOW, True)])
def test_only_somebody_who_trains_too_makes_a_crowd(other: Pose, *, expected: bool) -> None:
    seen = bodies(person(LOW, (300, 300)).joints, person(other, (800, 300)).joints)
    assert crowded(seen, seen.points[0]) is expected


def test_a_body_that_is_seen_alone_makes_no_crowd() -> None:
    seen = bodies(person(LOW, (800, 300)).joints)
    assert not crowded(seen, person(LOW, (300, 300)).joints)


def test_somebody_small_makes_no_crowd() -> None:
    seen = bodies(person(LOW, (300, 300)).joints, person(LOW, (800, 300), 90).joints)
    assert not crowded(seen, seen.points[0])


def test_who_looks_like_doing_it_is_followed_in_place_of_a_helper() -> None:
    wanted = sought(load_movement("handstand"))
    assert wanted is not None
    helper, athlete = person(STANDING, (300, 300)).joints, person(UPSIDE_DOWN, (420, 300)).joints
    assert instead(bodies(helper, athlete), 0, wanted) == 1
    assert instead(bodies(helper, athlete), 1, wanted) is None


def test_nobody_is_followed_in_place_of_an_athlete_who_sets_up() -> None:
    wanted = sought(load_movement("handstand"))
    assert wanted is not None
    setting_up, idle = person(LOW, (300, 300)).joints, person(STANDING, (600, 300)).joints
    assert instead(bodies(setting_up, idle), 0, wanted) is None


def test_who_crouches_beside_a_handstand_does_not_train() -> None:
    crouched, athlete = person(LOW, (200, 300)).joints, person(UPSIDE_DOWN, (600, 300)).joints
    seen = bodies(crouched, athlete)
    assert crowded(seen, athlete)
    assert not crowded(seen, athlete, sought(load_movement("handstand")))
    assert crowded(bodies(athlete - [400, 0], athlete), athlete, sought(load_movement("handstand")))
