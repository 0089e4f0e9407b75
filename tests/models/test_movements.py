from importlib.resources import files

import pytest

from models.errors import MovementError
from models.movements import Band, Movement, Reps, load_movement, movement_names
from models.suggest import did_you_mean

NAMES = movement_names()
UPRIGHT_OR_INVERTED = {"pull-up", "dip", "handstand-push-up", "handstand", "l-sit", "squat"}
HANGING = {"pull-up", "front-lever"}


def test_the_catalogue_holds_the_movements_of_the_trade() -> None:
    assert set(NAMES) == UPRIGHT_OR_INVERTED | {"push-up", "row", "front-lever", "planche"}


@pytest.mark.parametrize("name", NAMES)
def test_each_movement_says_all_there_is_to_say(name: str) -> None:
    movement = load_movement(name)
    assert movement.title
    assert movement.not_measured
    assert movement.faults
    assert any("qualified coach or clinician" in caution for caution in movement.cautions)
    assert any("top on" in caution for caution in movement.cautions)  # "Stop on pain", "Stop on cramp"
    assert "side" in movement.views
    assert (movement.usual == "reps") <= (movement.reps is not None)


@pytest.mark.parametrize("name", NAMES)
def test_a_movement_names_only_angles_that_it_has(name: str) -> None:
    movement = load_movement(name)
    other = "lean" if movement.tilt == "body" else "body"
    driving = [movement.reps.driving] if movement.reps else []
    bands = [angle for variant in movement.variants.values() for angle in variant.posture]
    assert other not in [*movement.hold.still, *movement.hold.posture, *bands, *driving]


@pytest.mark.parametrize("name", NAMES)
def test_upright_and_inverted_movements_lean(name: str) -> None:
    assert (load_movement(name).tilt == "lean") == (name in UPRIGHT_OR_INVERTED)


@pytest.mark.parametrize("name", NAMES)
def test_a_hold_lies_where_the_movement_is_done(name: str) -> None:
    movement = load_movement(name)
    held, done = movement.hold.posture["trunk"], movement.position.trunk
    assert done.low <= held.low < held.high <= done.high


@pytest.mark.parametrize("name", sorted(set(NAMES) - {"dip", "pull-up", "squat", "l-sit"}))
def test_standing_is_not_in_the_position_of_a_level_or_inverted_movement(name: str) -> None:
    assert load_movement(name).position.trunk.high < 80


@pytest.mark.parametrize("name", NAMES)
def test_the_hands_are_above_in_a_hang_and_below_in_a_support(name: str) -> None:
    either = {"row", "squat"}
    hands = "any" if name in either else "above" if name in HANGING else "below"
    assert load_movement(name).position.hands == hands


# Common practice, no source.
@pytest.mark.parametrize(
    ("name", "reps"),
    [
        ("push-up", Reps(driving="elbow", lowering="grows", first="lowering", straight=10, bent=90)),
        ("dip", Reps(driving="elbow", lowering="grows", first="lowering", straight=10, bent=90)),
        ("handstand-push-up", Reps(driving="elbow", lowering="grows", first="lowering", straight=10, bent=90)),
        ("row", Reps(driving="elbow", lowering="falls", first="raising", straight=10, bent=100)),
        ("pull-up", Reps(driving="elbow", lowering="falls", first="raising", straight=10, bent=120)),
        ("squat", Reps(driving="knee", lowering="grows", first="lowering", straight=5, bent=100)),
        ("front-lever", Reps(driving="body", lowering="grows", first="lowering", straight=-70, bent=0)),
        ("handstand", None),
        ("planche", None),
        ("l-sit", None),
    ],
)
def test_how_a_rep_is_made(name: str, reps: Reps | None) -> None:
    assert load_movement(name).reps == reps


def holds_here(movement: Movement, **angles: float) -> bool:
    return all(band.low <= angles[angle] <= band.high for angle, band in movement.hold.posture.items())


@pytest.mark.parametrize("trunk", [-20, 0, 25])
def test_every_front_lever_is_recognised_and_a_dead_hang_is_not(trunk: float) -> None:
    lever = load_movement("front-lever")
    assert {"hip", "knee"}.isdisjoint(lever.hold.posture)  # a tuck and a full lever differ there
    assert holds_here(lever, trunk=trunk, elbow=5)
    assert not holds_here(lever, trunk=88, elbow=5)


def test_a_push_up_position_is_no_planche() -> None:
    planche = load_movement("planche")
    assert holds_here(planche, trunk=3, shoulder=55, elbow=5)
    assert not holds_here(planche, trunk=18, shoulder=88, elbow=5)


def test_only_level_legs_make_an_l_sit_unless_it_is_tucked() -> None:
    l_sit = load_movement("l-sit")
    assert holds_here(l_sit, trunk=80, hip=88, legs=-3, elbow=3)
    assert not holds_here(l_sit, trunk=88, hip=2, legs=85, elbow=3)
    assert holds_here(l_sit.as_variant("tuck"), trunk=80, hip=110, legs=75, elbow=3)


@pytest.mark.parametrize(
    ("name", "variant", "line"),
    [
        ("front-lever", None, "ankles-shoulders"),
        ("front-lever", "full", "ankles-shoulders"),
        ("front-lever", "tuck", "hips-shoulders"),
        ("planche", "tuck", "hips-shoulders"),
        ("push-up", "knees", "knees-shoulders"),
        ("push-up", "hands-raised", "ankles-shoulders"),
        ("row", "bent-knees", "hips-shoulders"),
    ],
)
def test_a_variant_may_name_its_own_line(name: str, variant: str | None, line: str) -> None:
    assert load_movement(name).as_variant(variant).line == line


def test_a_variant_leaves_the_catalogue_as_it_is() -> None:
    before = load_movement("l-sit").model_dump()
    load_movement("l-sit").as_variant("tuck")
    assert load_movement("l-sit").model_dump() == before


def test_unknown_names_are_refused_with_the_nearest_known() -> None:
    with pytest.raises(MovementError, match="unknown movement 'pullup'; did you mean 'pull-up'"):
        load_movement("pullup")
    with pytest.raises(MovementError, match=r"unknown movement '\.\./errors'"):
        load_movement("../errors")
    with pytest.raises(MovementError, match=r"push-up has no variant 'knee'; did you mean 'knees'\? \(known: hands-"):
        load_movement("push-up").as_variant("knee")


def test_nothing_is_suggested_for_what_is_like_nothing() -> None:
    assert not did_you_mean("zzz", NAMES)


def test_catalogue_files_may_not_say_what_is_not_understood() -> None:
    with pytest.raises(ValueError, match="speed"):
        Movement.model_validate(load_movement("row").model_dump() | {"speed": 1})
    with pytest.raises(ValueError, match="low 5 is not below high 5"):
        Band(low=5, high=5)
    with pytest.raises(ValueError, match="straight 90 is not below bent 10"):
        Reps(driving="elbow", lowering="grows", first="lowering", straight=90, bent=10)


def test_the_range_of_a_rep_is_what_lies_between_its_ends() -> None:
    reps = load_movement("push-up").reps
    assert reps is not None
    assert reps.range == 80


def test_each_file_of_the_catalogue_is_read() -> None:
    folder = files("models.movements")
    assert sum(entry.name.endswith(".toml") for entry in folder.iterdir()) == len(NAMES)
