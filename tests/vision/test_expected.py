import numpy as np
import pytest

from models.movements import load_movement, movement_names
from models.movements.demand import End
from vision.expected import expected, unsigned


@pytest.mark.parametrize("name", movement_names())
def test_every_movement_of_the_catalogue_has_its_postures(name: str) -> None:
    movement = load_movement(name)
    ways = expected(movement)
    wanted = {"held"} if movement.usual == "hold" else {"straight", "bent"}
    assert ways
    assert wanted <= ways[0].keys()
    for way in ways:
        for posture in way.values():
            assert posture.shape == (7,)
            assert np.isfinite(posture).all()


@pytest.mark.parametrize(
    ("name", "end", "trunk", "tolerance"),
    [
        ("push-up", "straight", 20, 12),  # hands and toes on the floor: the belly down, the shoulders a little higher
        ("row", "straight", 165, 20),  # under a bar: the belly up
        ("pull-up", "straight", 90, 5),
        ("dip", "straight", 90, 5),
        ("front-lever", "held", 180, 1),
        ("back-lever", "held", 0, 1),
        ("planche", "held", 0, 1),
        ("handstand", "held", -88, 5),
        ("l-sit", "held", 90, 10),
        ("squat", "bent", 60, 15),
    ],
)
def test_the_trunk_points_where_people_s_does(name: str, end: End, trunk: float, tolerance: float) -> None:
    """Common practice, no source."""
    way = expected(load_movement(name))[0]
    assert abs((way[end][0] - trunk + 180) % 360 - 180) <= tolerance


def test_the_driving_angle_goes_through_the_range_that_is_asked_for() -> None:
    places = {"shoulder": 1, "elbow": 2, "hip": 3, "knee": 4}
    checked = 0
    for name in movement_names():
        movement = load_movement(name)
        way = expected(movement)[0]
        if movement.reps is None or movement.reps.driving not in places or not {"straight", "bent"} <= way.keys():
            continue
        straight, bent = (way[end][places[movement.reps.driving]] for end in ("straight", "bent"))
        assert straight <= movement.reps.straight + 5, name
        assert bent == pytest.approx(movement.reps.bent, abs=20), name
        checked += 1
    assert checked >= 8


def test_the_other_leg_does_as_the_working_one_unless_it_is_told() -> None:
    squat, single = (expected(load_movement(name))[0]["bent"] for name in ("squat", "single-leg-squat"))
    assert squat[5:] == pytest.approx(squat[3:5])
    assert abs(single[6] - single[4]) > 60


def test_an_oblique_view_shows_no_signs() -> None:
    level_belly_up = np.array([170.0, -30, 10, -20, 5, -190, 0])
    assert unsigned(level_belly_up) == pytest.approx([10, 30, 10, 20, 5, 170, 0])
    assert unsigned(np.array([-90.0, 0, 0, 0, 0, 0, 0]))[0] == pytest.approx(-90)
    assert unsigned(np.array([250.0, 0, 0, 0, 0, 0, 0]))[0] == pytest.approx(-70)
