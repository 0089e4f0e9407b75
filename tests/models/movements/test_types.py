"""The types of a catalogue file: what they refuse, and what a variant changes."""

import pytest

from models.errors import MovementError
from models.limit import Limit
from models.limits import Limits
from models.movements import Band, Movement, Reps, load_movement
from models.movements.reps import Phase, Strictness
from models.movements.variant import Variant, with_changes

ROW = load_movement("row")


def changed(movement: Movement, **changes: object) -> Movement:
    return Movement.model_validate(movement.model_dump(exclude_unset=True) | changes)


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


def test_a_variant_may_have_its_own_range_and_limits() -> None:
    deep = load_movement("squat").as_variant("deep")
    assert deep.reps is not None
    assert (deep.reps.straight, deep.reps.bent, deep.reps.driving) == (5, 125, "knee")
    assert deep.asked.bent.knee == Limit(low=125)
    assert deep.asked.straight.knee == Limit(high=15)


def test_a_variant_changes_single_angles_of_the_demand() -> None:
    demand = load_movement("front-lever").as_variant("tuck").demand
    assert demand is not None
    assert demand.held is not None
    assert (demand.held.trunk, demand.held.hip) == (0, 130)


def test_a_variant_leaves_the_catalogue_as_it_is() -> None:
    before = load_movement("l-sit").model_dump()
    load_movement("l-sit").as_variant("tuck")
    assert load_movement("l-sit").model_dump() == before


def test_an_unknown_variant_is_refused_with_the_nearest_known() -> None:
    with pytest.raises(MovementError, match=r"push-up has no variant 'knee'; did you mean 'knees'\? \(known: knees, "):
        load_movement("push-up").as_variant("knee")


def test_written_limits_take_the_place_of_the_usual_ones_each_as_a_whole() -> None:
    usual = Limits.model_validate(
        {"bent": {"elbow": {"low": 90}, "body": {"low": -5, "high": 5}}, "swing": {"high": 9}}
    )
    changes = Limits.model_validate({"bent": {"body": {"low": 10}}, "lowering": {"low": 3}})
    assert with_changes(usual, changes).by_name(tuple(Limits.model_fields)) == {
        "bent.elbow": Limit(low=90),
        "bent.body": Limit(low=10),
        "swing": Limit(high=9),
        "lowering": Limit(low=3),
    }


def test_from_a_view_that_a_movement_does_not_name_the_usual_things_are_hidden() -> None:
    assert ROW.hidden_from("back") == ROW.not_measured
    assert ROW.hidden_from("feet") != ROW.not_measured


def test_the_range_of_a_rep_is_what_lies_between_its_ends() -> None:
    reps = load_movement("push-up").reps
    assert reps is not None
    assert reps.range == 80


def test_catalogue_files_may_not_say_what_is_not_understood() -> None:
    with pytest.raises(ValueError, match="speed"):
        changed(ROW, speed=1)
    with pytest.raises(ValueError, match="low 5 is not below high 5"):
        Band(low=5, high=5)
    with pytest.raises(ValueError, match="straight 90 is not below bent 10"):
        Reps(driving="elbow", lowering="grows", first="lowering", straight=90, bent=10)
    with pytest.raises(ValueError, match="swing, hip_range or both"):
        Strictness()
    with pytest.raises(ValueError, match=r"phases\.top: its band leaves the range 10 to 90"):
        Reps(
            driving="elbow", lowering="grows", first="lowering", straight=10, bent=90,
            phases={"top": Phase(title="Top", band=Band(low=0, high=20))},
        )  # fmt: skip
    with pytest.raises(ValueError, match="support goes with scaling"):
        Variant(title="On rings", support="rings")


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"tilt": "lean"}, 'tilt = "lean", but body is named'),
        ({"reps": None}, r'usual = "reps", but there is no \[reps\]'),
        ({"reps": None, "usual": "hold"}, r"scalings\.lowering_only: there is no \[reps\]"),
        ({"plane": "frontal"}, "views: the first must be front or back"),
        ({"demand": None}, r"variants\.steep\.demand changes a demand that the movement does not have"),
        ({"variants": {}}, r"scalings\.how\.stability|scalings\.how"),
        ({"variants": {"ball": {"title": "B", "scaling": "stability", "support": "ball"}}}, "ball is not among"),
        ({"variants": {"x": {"title": "X", "demand": {"hands": "none"}}}}, r"variants\.x\.demand: .*the arms bear"),
        ({"views": {}}, "views"),
    ],
)
def test_a_movement_that_contradicts_itself_is_refused(changes: dict[str, object], message: str) -> None:
    base = ROW.model_dump(exclude_unset=True)
    if "variants" in changes:
        base["scalings"] = (
            {**base["scalings"], "how": {}} if changes["variants"] else {"how": {"stability": "On rings."}}
        )
    with pytest.raises(ValueError, match=message):
        Movement.model_validate(base | changes)


def test_a_lever_is_a_variant() -> None:
    lever = load_movement("planche").model_dump(exclude_unset=True)
    del lever["variants"]["straddle"]
    with pytest.raises(ValueError, match=r"scalings\.levers: there is no variant 'straddle'"):
        Movement.model_validate(lever)
