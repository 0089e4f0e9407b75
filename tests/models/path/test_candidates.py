"""What a movement offers as steps: its levers, angles and heights, and the ways of doing them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.movements import load_movement, movement_names
from models.path import Available, Rules
from models.path.candidates import (
    Keys,
    helped,
    levers,
    loaded,
    movements_between,
    on_support_of,
    other_ways,
    plans,
    support_of,
    way_of,
)
from models.path.rules import StepRules, parse_rules
from models.prescription import Prescription
from models.prescription.scaled import WrittenBand
from service.asked import read_asked

NOTHING, RULES = Available(), Rules()


def plan(words: str) -> Prescription:
    return read_asked(words.split())


def offered(name: str, support: str | None = None, available: Available = NOTHING, rules: Rules = RULES) -> list[Keys]:
    return levers(load_movement(name), support, available, rules)


def test_on_the_floor_boxes_raise_hands_and_feet_and_the_angle_follows() -> None:
    found = offered("push-up", available=Available(boxes_cm=(20, 40)))
    assert found == [
        {"variant": "knees"},
        {},
        {"variant": "hands-raised", "hands_raised_cm": 20},
        {"variant": "hands-raised", "hands_raised_cm": 40},
        {"variant": "feet-raised", "feet_raised_cm": 20},
        {"variant": "feet-raised", "feet_raised_cm": 40},
    ]


def test_under_a_bar_the_angle_is_chosen_and_boxes_raise_the_feet() -> None:
    found = offered("row", available=Available(boxes_cm=(30,)))
    assert [keys["body_angle"] for keys in found if "body_angle" in keys] == list(range(0, 80, 5))
    assert {"variant": "feet-raised", "feet_raised_cm": 30} in found
    assert not any("hands_raised_cm" in keys for keys in found)


def test_in_straps_only_the_angle_is_chosen() -> None:
    found = offered("row", "rings", Available(boxes_cm=(30,)))
    assert found == [{"variant": "rings", "body_angle": angle} for angle in range(0, 80, 5)]


def test_where_the_catalogue_names_levers_these_are_taken() -> None:
    found = offered("front-lever")
    assert found == [*({"variant": name} for name in ("tuck", "advanced-tuck", "one-leg", "straddle", "full")), {}]


def test_another_support_is_no_lever() -> None:
    for name in movement_names():
        movement = load_movement(name)
        firm = {variant for variant, entry in movement.variants.items() if entry.support is None}
        assert {keys["variant"] for keys in offered(name) if "variant" in keys} <= firm


def test_heights_go_by_even_steps_where_no_box_is_named() -> None:
    rules = Rules(step=StepRules(height_cm=15, highest_cm=50))
    heights = {keys["hands_raised_cm"] for keys in offered("push-up", rules=rules) if "hands_raised_cm" in keys}
    assert heights == {15, 30, 45}


def test_the_ways_of_a_pull_up_are_lowering_and_a_hold_near_the_top() -> None:
    assert other_ways(load_movement("pull-up")) == [{"lowering_only": True}, {"held": True, "hold_at": 120}]


def test_a_hold_stays_inside_the_range_of_its_variant() -> None:
    mats = load_movement("handstand-push-up").as_variant("mats")
    assert mats.reps is not None
    assert other_ways(mats)[1] == {"held": True, "hold_at": mats.reps.bent}


def test_what_is_held_anyway_is_not_held_otherwise() -> None:
    assert all("held" not in way for way in other_ways(load_movement("front-lever")))
    assert other_ways(load_movement("l-sit")) == []


def test_bands_and_loads_suit_only_some_movements() -> None:
    there = Available(bands=(WrittenBand(kg=10),), loads_kg=(5,))
    assert helped(load_movement("pull-up"), there) == [{"band": {"kg": 10}}]
    assert loaded(load_movement("pull-up"), there) == [{"load": {"kg": 5}}]
    for name in movement_names():
        movement = load_movement(name)
        assert bool(helped(movement, there)) == ("band" in movement.scalings.assistance)
        assert bool(loaded(movement, there)) == bool(movement.scalings.load_at)


@pytest.mark.parametrize("name", movement_names())
def test_everything_that_is_offered_is_a_prescription(name: str) -> None:
    there = Available(bands=(WrittenBand(kg=10),), loads_kg=(5,))
    movement = load_movement(name)
    ways: list[Keys] = [{}, *other_ways(movement), *helped(movement, there), *loaded(movement, there)]
    supports = [None, *(variant for variant, entry in movement.variants.items() if entry.support is not None)]
    for support in supports:
        usual = list(plans(movement, levers(movement, support, there, RULES), ways, RULES))
        assert len(usual) == len(levers(movement, support, there, RULES)) * len(ways)
        assert all(each.movement == name for each in usual)


@pytest.mark.parametrize(
    ("owned", "goal", "names"),
    [
        ("push-up", "handstand-push-up", ["push-up", "pike-push-up", "handstand-push-up"]),
        ("pike-push-up", "handstand-push-up", ["pike-push-up", "handstand-push-up"]),
        ("dip", "handstand-push-up", ["dip", "push-up", "pike-push-up", "handstand-push-up"]),
        ("pull-up", "pull-up", ["pull-up"]),
        ("row", "front-lever", ["row", "front-lever"]),
        ("plank", "human-flag", ["plank", "human-flag"]),
    ],
)
def test_the_movements_between(owned: str, goal: str, names: list[str]) -> None:
    assert [movement.name for movement in movements_between(owned, goal, RULES)] == names


def test_each_movement_on_the_usual_ways_is_in_the_catalogue() -> None:
    for goal, via in RULES.via.items():
        assert {goal, *via} <= set(movement_names())
        assert goal not in via


def test_the_ways_may_be_edited() -> None:
    rules = parse_rules(b'via = { front-lever = ["row", "pull-up"] }', "rules.toml")
    assert [each.name for each in movements_between("row", "front-lever", rules)] == ["row", "pull-up", "front-lever"]


@pytest.mark.parametrize(
    ("owned", "goal", "variant", "stability"),
    [
        ("push-up", "handstand-push-up variant=free", None, None),
        ("push-up", "handstand-push-up variant=mats", "mats", None),
        ("row variant=rings", "row body_angle=10", "rings", None),
        ("row", "row variant=rings body_angle=10", None, None),
        ("pull-up stability=rings", "pull-up load.kg=5", None, "rings"),
        ("pull-up", "pull-up stability=rings", None, None),
    ],
)
def test_the_goal_is_first_done_on_the_support_that_is_owned(
    owned: str, goal: str, variant: str | None, stability: str | None
) -> None:
    firm = on_support_of(plan(goal), plan(owned))
    assert (firm.variant, firm.stability) == (variant, stability)


def test_which_variant_is_a_support() -> None:
    assert support_of(plan("row variant=rings")) == "rings"
    assert support_of(plan("row variant=steep")) is None
    assert support_of(plan("row")) is None


@given(st.sampled_from(["pull-up", "push-up", "dip", "row"]), st.sampled_from(["lowering_only=true", "hold_at=80", ""]))
def test_a_way_leads_back_to_the_same_way(name: str, way: str) -> None:
    asked = plan(f"{name} {way}")
    (again,) = plans(load_movement(name), [{}], [way_of(asked)], RULES)
    assert (again.lowering_only, again.hold, again.hold_at, again.reps) == (
        asked.lowering_only,
        asked.hold,
        asked.hold_at,
        asked.reps,
    )
