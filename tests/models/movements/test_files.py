"""Each file of the catalogue: it is read, it says all there is to say, and what it says is what the trade says."""

from functools import cache
from importlib.resources import files
from typing import get_args

import pytest

from models.body.catalogue import demand
from models.movements import Movement, load_movement, movement_names
from models.movements.standard import Support
from models.movements.views import View
from models.quantity import Measured
from models.scaling import ScalingName

NAMES = movement_names()
ALL = {name: load_movement(name) for name in NAMES}
LEVEL = {"push-up", "pike-push-up", "row", "front-lever", "back-lever", "planche", "human-flag", "plank"}
UPRIGHT_OR_INVERTED = {
    "pull-up", "chin-up", "muscle-up", "dip", "handstand-push-up", "handstand", "l-sit", "squat", "single-leg-squat",
}  # fmt: skip
HANGING = {"pull-up", "chin-up", "front-lever", "back-lever"}
ANYWHERE = {"row", "muscle-up", "squat", "single-leg-squat"}
INVERTED = {"handstand", "handstand-push-up", "pike-push-up", "front-lever", "back-lever", "human-flag"}
OVERHEAD = {"pull-up", "chin-up", "muscle-up", "dip", "planche"}


def test_the_catalogue_holds_the_movements_of_the_trade() -> None:
    assert set(NAMES) == LEVEL | UPRIGHT_OR_INVERTED


def test_each_file_of_the_catalogue_is_read() -> None:
    assert sum(entry.name.endswith(".toml") for entry in files("models.movements").iterdir()) == len(NAMES)


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_each_movement_says_all_there_is_to_say(movement: Movement) -> None:
    assert movement.title
    assert len(movement.faults) >= 4
    assert any("qualified coach or clinician" in caution for caution in movement.cautions)
    assert any("top on" in caution for caution in movement.cautions)  # "Stop on pain", "Stop on cramp"
    assert movement.demand is not None
    assert movement.variants
    assert not any(text.endswith(".") for text in movement.faults)
    assert all(text.endswith(".") for text in movement.cautions)


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_each_view_says_what_it_shows_and_what_it_cannot_show(movement: Movement) -> None:
    assert len(movement.views) >= 2
    for view in movement.views.values():
        assert view.shows
        assert view.cannot_show
    assert movement.not_measured == movement.views[movement.measured_from].cannot_show


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_a_view_sends_the_reader_to_one_that_the_movement_names(movement: Movement) -> None:
    """ "film from the front or back": at least one of them is there, and not the view that says it."""
    for name, view in movement.views.items():
        for text in view.cannot_show:
            _, found, where = text.partition("film from ")
            named = {other for other in get_args(View) if other in where}
            assert not found or (named & set(movement.views) and name not in named), text


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_the_plane_of_the_body_is_seen_from_the_first_view(movement: Movement) -> None:
    assert (movement.plane == "frontal") == (movement.name == "human-flag")
    assert movement.measured_from == ("front" if movement.name == "human-flag" else "side")


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_upright_and_inverted_movements_lean(movement: Movement) -> None:
    assert (movement.tilt == "lean") == (movement.name in UPRIGHT_OR_INVERTED)


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_a_hold_lies_where_the_movement_is_done(movement: Movement) -> None:
    held, done = movement.hold.posture["trunk"], movement.position.trunk
    assert done.low <= held.low < held.high <= done.high


@pytest.mark.parametrize("name", sorted(LEVEL | {"handstand", "handstand-push-up"}))
def test_standing_is_not_in_the_position_of_a_level_or_inverted_movement(name: str) -> None:
    assert ALL[name].position.trunk.high < 80


@pytest.mark.parametrize("name", NAMES)
def test_the_hands_are_above_in_a_hang_and_below_in_a_support(name: str) -> None:
    hands = "any" if name in ANYWHERE else "above" if name in HANGING else "below"
    assert ALL[name].position.hands == ("split" if name == "human-flag" else hands)


# Common practice, no source: driving angle, what the lowering does to it, first stroke, range, names of its ends.
REPS = {
    "push-up": ("elbow", "grows", "lowering", 10, 90, "lockout", "chest low"),
    "pike-push-up": ("elbow", "grows", "lowering", 10, 90, "lockout", "head low"),
    "handstand-push-up": ("elbow", "grows", "lowering", 10, 90, "lockout", "head at the floor"),
    "dip": ("elbow", "grows", "lowering", 10, 90, "lockout", "shoulders low"),
    "row": ("elbow", "falls", "raising", 10, 100, "full hang", "chest at the hands"),
    "pull-up": ("elbow", "falls", "raising", 10, 120, "full hang", "chin over the bar"),
    "chin-up": ("elbow", "falls", "raising", 10, 120, "full hang", "chin over the bar"),
    "muscle-up": ("reach", "falls", "raising", -90, 90, "full hang", "support on straight arms"),
    "squat": ("knee", "grows", "lowering", 5, 100, "standing", "hips low"),
    "single-leg-squat": ("knee", "grows", "lowering", 5, 100, "standing on one leg", "hips low"),
    "front-lever": ("body", "grows", "lowering", -70, 0, "inverted hang", "level"),
    "back-lever": ("body", "grows", "lowering", -70, 0, "inverted hang", "level"),
    "human-flag": ("body", "grows", "lowering", -60, 0, "feet above", "level"),
}


@pytest.mark.parametrize("name", NAMES)
def test_how_a_rep_is_made(name: str) -> None:
    reps = ALL[name].reps
    if reps is None:
        assert name not in REPS
        return
    assert reps.ends is not None
    found = (reps.driving, reps.lowering, reps.first, reps.straight, reps.bent, reps.ends.straight, reps.ends.bent)
    assert found == REPS[name]


# Common practice, no source: what must be reached at the bent end, and how it is measured.
STANDARDS = {
    "push-up": {"chest-to-floor": ("chest", "touching", "palms")},
    "pike-push-up": {"head-to-floor": ("head", "touching", "palms")},
    "handstand-push-up": {"head-to-floor": ("head", "touching", "palms")},
    "dip": {"shoulder-below-elbow": ("shoulder", "below", "elbow")},
    "row": {"chest-to-bar": ("chest", "touching", "grip")},
    "pull-up": {"chin-over-bar": ("chin", "above", "grip"), "chest-to-bar": ("chest", "touching", "grip")},
    "chin-up": {"chin-over-bar": ("chin", "above", "grip"), "chest-to-bar": ("chest", "touching", "grip")},
    "muscle-up": {"chest-over-bar": ("chest", "above", "grip")},
    "squat": {"crease-below-knee": ("hip_crease", "below", "knee_top")},
    "single-leg-squat": {"crease-below-knee": ("hip_crease", "below", "knee_top")},
}


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_what_a_rep_must_reach(movement: Movement) -> None:
    found = {entry.name: (entry.point, entry.way, entry.reference) for entry in movement.standards}
    assert found == STANDARDS.get(movement.name, {})
    assert all(entry.end == "bent" for entry in movement.standards)
    for entry in (
        movement.standards
    ):  # a bar is gripped, a floor is pressed on; a muscle-up begins with one, ends with the other
        if entry.reference in get_args(Support) and movement.name != "muscle-up":
            assert (entry.reference == "grip") == (movement.demand is not None and movement.demand.hands == "bar")


@pytest.mark.parametrize("name", ["pull-up", "chin-up", "push-up", "row", "handstand-push-up", "pike-push-up"])
def test_a_lockout_and_a_full_hang_are_straight_elbows(name: str) -> None:
    asked = ALL[name].asked.straight.elbow
    assert asked is not None
    assert asked.high == 20


@pytest.mark.parametrize("name", ["pull-up", "chin-up", "muscle-up", "dip"])
def test_what_can_be_kipped_says_what_is_strict(name: str) -> None:
    reps = ALL[name].reps
    assert reps is not None
    assert reps.strict is not None
    assert reps.strict.swing is not None
    assert reps.strict.hip_range is not None


def test_a_muscle_up_has_a_transition_between_hang_and_support() -> None:
    reps = ALL["muscle-up"].reps
    assert reps is not None
    band = reps.phases["transition"].band
    assert reps.straight < band.low < 0 < band.high < reps.bent


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_holds_say_what_is_asked_of_a_good_one(movement: Movement) -> None:
    if movement.usual == "hold":
        assert movement.asked.by_name(("posture",))


@pytest.mark.parametrize("name", sorted(INVERTED | OVERHEAD))
def test_inverted_and_overhead_work_says_how_to_come_down(name: str) -> None:
    text = " ".join(ALL[name].cautions).lower()
    assert any(word in text for word in ("come down", "come out", "way out", "step down", "step up", "coming down"))


@pytest.mark.parametrize(
    "name", ["handstand", "handstand-push-up", "front-lever", "back-lever", "human-flag", "muscle-up", "planche"]
)
def test_what_is_spotted_says_how(name: str) -> None:
    assert any("spotter" in caution for caution in ALL[name].cautions)


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_each_scaling_that_suits_is_said_in_words(movement: Movement) -> None:
    assert set(movement.scalings.how) == set(movement.suiting)
    assert movement.suiting == tuple(name for name in get_args(ScalingName) if name in movement.suiting)


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_each_variant_is_one_of_the_six_scalings(movement: Movement) -> None:
    for name, variant in movement.variants.items():
        assert variant.scaling in {"leverage", "stability"}, name


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_variants_of_another_support_come_last(movement: Movement) -> None:
    kinds = [variant.scaling for variant in movement.variants.values()]
    assert kinds == sorted(kinds, key=lambda kind: kind == "stability")


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_a_movement_is_held_at_points_of_its_range(movement: Movement) -> None:
    if movement.scalings.hold_at:
        assert movement.reps is not None
        assert all(movement.reps.straight <= at <= movement.reps.bent for at in movement.scalings.hold_at)


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_its_demand_has_the_postures_in_which_it_is_done(movement: Movement) -> None:
    assert movement.demand is not None
    assert (movement.demand.straight is not None) == (movement.demand.bent is not None) == (movement.reps is not None)
    assert movement.usual == "reps" or movement.demand.held is not None


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_the_demand_bears_where_the_position_has_its_contact(movement: Movement) -> None:
    assert movement.demand is not None
    hands, feet = movement.demand.hands != "none", movement.demand.feet != "none"
    contact = {"hands": (True, False), "feet": (False, True), "foot": (False, True), "both": (True, True)}
    assert (hands, feet) == contact[movement.position.contact]


def holds_here(movement: Movement, **angles: float) -> bool:
    return all(band.low <= angles[angle] <= band.high for angle, band in movement.hold.posture.items())


@pytest.mark.parametrize("name", ["front-lever", "back-lever"])
@pytest.mark.parametrize("trunk", [-20, 0, 25])
def test_every_lever_is_recognised_and_a_dead_hang_is_not(name: str, trunk: float) -> None:
    lever = ALL[name]
    assert {"hip", "knee"}.isdisjoint(lever.hold.posture)  # a tuck and a full lever differ there
    assert holds_here(lever, trunk=trunk, elbow=5)
    assert not holds_here(lever, trunk=88, elbow=5)


def test_a_push_up_position_is_no_planche() -> None:
    planche = ALL["planche"]
    assert holds_here(planche, trunk=3, shoulder=55, elbow=5)
    assert not holds_here(planche, trunk=18, shoulder=88, elbow=5)


def test_only_level_legs_make_an_l_sit_unless_it_is_tucked() -> None:
    l_sit = ALL["l-sit"]
    assert holds_here(l_sit, trunk=80, hip=88, legs=-3, elbow=3)
    assert not holds_here(l_sit, trunk=88, hip=2, legs=85, elbow=3)
    assert holds_here(l_sit.as_variant("tuck"), trunk=80, hip=110, legs=75, elbow=3)


def test_a_plank_is_on_the_forearms_unless_the_arms_are_straight() -> None:
    plank = ALL["plank"]
    assert holds_here(plank, trunk=5, hip=3, elbow=88)
    assert not holds_here(plank, trunk=18, hip=3, elbow=5)
    assert holds_here(plank.as_variant("straight-arms"), trunk=18, hip=3, elbow=5)


def test_a_push_up_is_no_pike_push_up() -> None:
    pike = ALL["pike-push-up"]
    assert holds_here(pike, trunk=-55, hip=85, elbow=20)
    assert not holds_here(pike, trunk=15, hip=2, elbow=20)


demanded = cache(lambda name, variant: demand(ALL[name], variant=variant))


def asked(name: str, variant: str | None) -> float:
    """What ranks the variants: % of body weight at the hands, or the size of the limiting moment."""
    limiting = demanded(name, variant).limiting
    assert isinstance(limiting, Measured), limiting
    return limiting.value


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_variants_stand_in_the_order_of_what_they_ask(movement: Movement) -> None:
    values = [asked(movement.name, name) for name, each in movement.variants.items() if each.scaling == "leverage"]
    assert values == pytest.approx(sorted(values), rel=1e-3)


@pytest.mark.parametrize("movement", ALL.values(), ids=NAMES)
def test_another_support_asks_the_same_and_is_ranked(movement: Movement) -> None:
    for name, variant in movement.variants.items():
        if variant.scaling == "stability":
            assert asked(movement.name, name) == pytest.approx(asked(movement.name, None), rel=0.1)
            assert demanded(movement.name, name).stability is not None


@pytest.mark.parametrize(
    ("name", "lighter", "heavier"),
    [
        ("push-up", {"knees", "hands-raised"}, {"feet-raised"}),
        ("row", {"steep", "bent-knees"}, {"feet-raised"}),
        ("pike-push-up", {"hands-raised"}, {"feet-raised"}),
        ("handstand-push-up", {"mats"}, {"deep"}),
        ("squat", {"box"}, {"deep"}),
        ("plank", {"knees", "straight-arms"}, {"feet-raised"}),
        ("front-lever", {"tuck", "advanced-tuck", "one-leg", "straddle"}, set()),
        ("back-lever", {"tuck", "advanced-tuck", "one-leg", "straddle"}, set()),
        ("planche", {"tuck", "advanced-tuck", "one-leg", "straddle"}, set()),
        ("human-flag", {"tuck", "one-leg", "straddle"}, set()),
        ("l-sit", {"tuck", "one-leg"}, set()),
    ],
)
def test_what_is_called_lighter_is_lighter(name: str, lighter: set[str], heavier: set[str]) -> None:
    """The order is common practice, no source; the loads are the body model's."""
    full = asked(name, None)
    assert all(asked(name, variant) < 0.98 * full for variant in lighter)
    assert all(asked(name, variant) > 1.02 * full for variant in heavier)
