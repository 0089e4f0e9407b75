"""Demand of the catalogue's movements: every one of them can be computed, and orders its variants as coaches do."""

import pytest

from models.body.athlete import Athlete
from models.body.catalogue import demand, demand_entry, mode_of, situation_of
from models.body.demand import Demand, value_of
from models.errors import DemandError, MovementError
from models.movements import Movement, load_movement, movement_names
from models.movements.demand import DemandEntry
from models.quantity import Measured, Q, Unmeasured
from models.scaling import Band, Leverage, Load, Partner, Scalings, StillHold
from tests.models.body.athletes import TOMASZ

VARIANTS = [(name, variant) for name in movement_names() for variant in (None, *load_movement(name).variants)]
LEVERS = ("front-lever", "back-lever", "planche", "human-flag")


def number(value: Q) -> Measured:
    assert isinstance(value, Measured)
    return value


def of(name: str, variant: str | None = None, scalings: Scalings | None = None, athlete: Athlete = TOMASZ) -> Demand:
    return demand(load_movement(name), athlete, variant=variant, scalings=scalings or Scalings())


def ratio(name: str, variant: str | None = None, scalings: Scalings | None = None) -> float:
    """The ratio without its uncertainty, which is what takes the time."""
    movement, scaled = load_movement(name), scalings or Scalings()
    situation, full = situation_of(movement, variant, scaled), situation_of(movement)
    return value_of(situation, TOMASZ, "ratio", limit=demand_entry(movement, variant, scaled).limit, full=full)


@pytest.mark.parametrize(("name", "variant"), VARIANTS)
def test_every_variant_of_the_catalogue_has_a_demand(name: str, variant: str | None) -> None:
    movement = load_movement(name)
    found = demand(movement, variant=variant)
    assert number(found.limiting).value > 0
    assert 0 < number(found.ratio).value < 400
    assert number(found.limiting).value > number(found.limiting).U95
    entry = movement.as_variant(variant).demand
    assert entry is not None
    for end in entry.ends:
        assert value_of(situation_of(movement, variant, end=end), TOMASZ, "hands", limit=entry.limit) >= 0


@pytest.mark.parametrize("name", movement_names())
def test_a_movement_is_its_own_measure(name: str) -> None:
    found = of(name)
    assert (number(found.ratio).value, number(found.effort).value) == pytest.approx((100, 100))
    assert pytest.approx(0) == number(found.ratio).U95


@pytest.mark.parametrize("name", LEVERS)
def test_the_longer_the_lever_the_harder(name: str) -> None:
    """Tuck, advanced tuck, one leg, straddle, full: common practice, no source. The hands bear the whole weight in each."""
    movement = load_movement(name)
    levers = [ratio(name, lever) for lever in movement.scalings.levers]
    assert levers == sorted(levers)
    assert levers[-1] == pytest.approx(100)
    hands = [
        value_of(situation_of(movement, lever), TOMASZ, "hands", limit="hands") for lever in movement.scalings.levers
    ]
    assert hands == pytest.approx([100] * len(hands))


def test_a_lever_in_the_scalings_is_the_variant_of_its_name() -> None:
    scaled = Scalings(leverage=Leverage(lever="tuck"))
    assert of("front-lever", scalings=scaled) == of("front-lever", "tuck")


@pytest.mark.parametrize("name", ["push-up", "pike-push-up"])
def test_raised_hands_are_lighter_and_raised_feet_heavier(name: str) -> None:
    """Common practice, no source; Ebben et al. 2011 for push-ups."""
    assert ratio(name, "hands-raised") < 100 < ratio(name, "feet-raised")
    heights = [ratio(name, scalings=Scalings(leverage=Leverage(hands_raised=h))) for h in (0.0, 0.2, 0.4, 0.6)]
    assert heights == sorted(heights, reverse=True)
    heights = [ratio(name, scalings=Scalings(leverage=Leverage(feet_raised=h))) for h in (0.0, 0.15, 0.3)]
    assert heights == sorted(heights)


def test_on_the_knees_is_lighter() -> None:
    assert ratio("push-up", "knees") < 85


@pytest.mark.parametrize("variant", [None, "rings"])
def test_a_more_upright_row_is_lighter(variant: str | None) -> None:
    """Common practice, no source."""
    loads = [ratio("row", variant, Scalings(leverage=Leverage(body=angle))) for angle in (60, 45, 30, 15)]
    assert loads == sorted(loads)
    assert loads[0] < 0.75 * loads[-1]


def test_the_body_angle_is_that_of_the_straight_end() -> None:
    found = demand(load_movement("push-up"), TOMASZ, scalings=Scalings(leverage=Leverage(body=35)), end="straight")
    assert number(found.trunk).value == pytest.approx(35)
    assert number(found.rise).value > 0.3
    bent = demand(load_movement("push-up"), TOMASZ, scalings=Scalings(leverage=Leverage(body=35)), end="bent")
    assert number(bent.trunk).value < 35


def test_a_lever_above_level_is_lighter() -> None:
    loads = [ratio("front-lever", scalings=Scalings(leverage=Leverage(body=angle))) for angle in (0, -30, -60)]
    assert loads == sorted(loads, reverse=True)
    held = [ratio("front-lever", scalings=Scalings(hold=StillHold(at=angle))) for angle in (0, -30, -60)]
    assert held == pytest.approx(loads)


def test_help_and_load_change_the_load_by_what_they_weigh() -> None:
    """Tomasz weighs 80 kg."""
    assert ratio("pull-up", scalings=Scalings(load=Load(kg=8))) == pytest.approx(110)
    assert ratio("pull-up", scalings=Scalings(band=Band(at="feet", kg=20))) == pytest.approx(75, abs=2)
    helped = of("pull-up", scalings=Scalings(partner=Partner(at="feet")))
    assert isinstance(helped.ratio, Unmeasured)
    assert "nobody measured how much" in helped.ratio.reason


def test_lowering_only_is_easier_to_bear() -> None:
    found = of("pull-up", scalings=Scalings(lowering_only=True))
    assert found.mode == "lower"
    assert number(found.ratio).value == pytest.approx(100)
    assert number(found.effort).value == pytest.approx(100 / 1.3)


def test_how_a_movement_is_moved() -> None:
    pull_up, lever = load_movement("pull-up"), load_movement("front-lever")
    assert mode_of(pull_up, Scalings()) == "raise"
    assert mode_of(pull_up, Scalings(hold=StillHold(at=90))) == "hold"
    assert mode_of(lever, Scalings()) == "hold"
    assert mode_of(lever, Scalings(lowering_only=True)) == "lower"


def test_a_hold_on_the_way_lies_between_the_ends() -> None:
    push_up = load_movement("push-up")
    bents = [
        number(demand(push_up, TOMASZ, scalings=Scalings(hold=StillHold(at=at))).hands).value for at in (20, 50, 80)
    ]
    straight = number(demand(push_up, TOMASZ, end="straight").hands).value
    loads = [straight, *bents, number(of("push-up").hands).value]
    assert loads == sorted(loads)


def test_stability_is_ranked_and_nothing_else() -> None:
    firm, loose = of("push-up"), of("push-up", "rings")
    assert firm.stability is not None
    assert loose.stability is not None
    assert firm.stability < loose.stability
    assert loose.hands == firm.hands


def test_the_posture_that_is_asked_for_is_looked_at() -> None:
    straight = demand(load_movement("pull-up"), TOMASZ, end="straight")
    bent = demand(load_movement("pull-up"), TOMASZ, end="bent")
    assert abs(number(straight.moments["elbow"]).value) < abs(number(bent.moments["elbow"]).value)


def test_what_is_not_there_is_said() -> None:
    with pytest.raises(DemandError, match=r"push-up has no posture 'held' in its \[demand\] \(known: bent, straight\)"):
        demand(load_movement("push-up"), end="held")
    with pytest.raises(MovementError, match="did you mean 'knees'"):
        demand(load_movement("push-up"), variant="knee")
    nameless = load_movement("push-up").model_copy(update={"demand": None, "variants": {}})
    with pytest.raises(DemandError, match=r"does not say what push-up asks of the body; add a \[demand\]"):
        demand(nameless)
    with pytest.raises(DemandError, match="has no range to be held in"):
        situation_of(load_movement("handstand"), scalings=Scalings(hold=StillHold(at=10)))


def test_a_movement_of_ones_own_needs_a_demand_and_nothing_else() -> None:
    """A push-up on one's fists, plumb arms: all that is written is the section itself."""
    entry = DemandEntry.model_validate(
        {
            "belly": "down",
            "hands": "floor",
            "feet": "toes",
            "hard": "bent",
            "limit": "hands",
            "straight": {},
            "bent": {"elbow": 90},
        }
    )
    own: Movement = load_movement("push-up").model_copy(
        update={"name": "fist-push-up", "demand": entry, "variants": {}}
    )
    assert number(demand(own, Athlete(sex="man")).hands).value == pytest.approx(71.7, abs=0.1)
