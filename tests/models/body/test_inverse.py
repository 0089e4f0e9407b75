"""The inverse questions: what is found gives back what was asked for."""

import pytest

from models.body.athlete import Athlete
from models.body.catalogue import demand
from models.body.inverse import band_for, body_angle_for, height_for, load_for
from models.errors import DemandError
from models.movements import load_movement
from models.quantity import Measured, Q, Unmeasured
from models.scaling import Band, Leverage, Load, Scalings
from tests.models.body.athletes import MARIT, TOMASZ

PUSH_UP, ROW, PULL_UP, LEVER = (load_movement(name) for name in ("push-up", "row", "pull-up", "front-lever"))


def number(value: Q) -> Measured:
    assert isinstance(value, Measured)
    return value


@pytest.mark.parametrize("percent", [45, 55, 62])
def test_a_body_angle_gives_what_was_asked_for(percent: float) -> None:
    """Which body angle gives 60 %?"""
    found = number(body_angle_for(percent, PUSH_UP, TOMASZ))
    assert found.unit == "deg"
    again = demand(PUSH_UP, TOMASZ, scalings=Scalings(leverage=Leverage(body=found.value)))
    assert number(again.hands).value == pytest.approx(percent, abs=0.01)


def test_lighter_is_more_upright() -> None:
    for movement in (PUSH_UP, ROW):
        angles = [number(body_angle_for(percent, movement, TOMASZ)).value for percent in (60, 55, 50)]
        assert angles == sorted(angles)
    assert number(body_angle_for(50, ROW, TOMASZ, variant="rings")).value == pytest.approx(42, abs=5)


@pytest.mark.parametrize(("raised", "percent"), [("hands", 55.0), ("feet", 72.0)])
def test_a_height_gives_what_was_asked_for(raised: str, percent: float) -> None:
    """Feet how high? Hands how high?"""
    found = number(height_for(percent, raised, PUSH_UP, MARIT))  # type: ignore[arg-type]
    assert found.unit == "m"
    scalings = Scalings(leverage=Leverage.model_validate({f"{raised}_raised": found.value}))
    again = demand(PUSH_UP, MARIT, scalings=scalings)
    assert number(again.hands).value == pytest.approx(percent, abs=0.01)
    assert found.U95 > 0.01


def test_the_tall_need_a_higher_box() -> None:
    tall, short = (number(height_for(55, "hands", PUSH_UP, Athlete(sex="man", height_cm=h))).value for h in (195, 160))
    assert tall / short == pytest.approx(195 / 160, rel=0.01)


@pytest.mark.parametrize("percent", [60, 80, 95])
def test_a_band_gives_the_ratio_that_was_asked_for(percent: float) -> None:
    """Which band makes this 80 %? For a pull-up it takes off that share of body weight, less its slant."""
    found = number(band_for(percent, PULL_UP, TOMASZ))
    assert found.unit == "kg"
    assert found.value == pytest.approx((100 - percent) / 100 * 80, rel=0.1)
    again = demand(PULL_UP, TOMASZ, scalings=Scalings(band=Band(at="feet", kg=found.value)))
    assert number(again.ratio).value == pytest.approx(percent, abs=0.01)


def test_a_band_off_the_shelf_is_known_to_thirty_per_cent() -> None:
    found = number(band_for(80, PULL_UP, TOMASZ))
    assert pytest.approx(0.30, abs=0.03) == found.U95 / found.value


def test_a_band_makes_a_lever_lighter() -> None:
    """It is the moment at the shoulder that counts there; the nearer to the feet it holds, the less it needs."""
    at_hips, at_feet = (number(band_for(80, LEVER, TOMASZ, at=at)).value for at in ("hips", "feet"))
    assert at_feet < at_hips
    again = demand(LEVER, TOMASZ, scalings=Scalings(band=Band(at="hips", kg=at_hips)))
    assert number(again.ratio).value == pytest.approx(80, abs=0.01)


def test_a_band_over_the_body_helps_a_push_up() -> None:
    found = number(band_for(80, PUSH_UP, TOMASZ, at="hips", over="body"))
    again = demand(PUSH_UP, TOMASZ, scalings=Scalings(band=Band(at="hips", kg=found.value, over="body")))
    assert number(again.ratio).value == pytest.approx(80, abs=0.01)


def test_a_load_gives_the_ratio_that_was_asked_for() -> None:
    assert number(load_for(120, PULL_UP, TOMASZ)).value == pytest.approx(16, abs=0.01)
    vest = number(load_for(110, PUSH_UP, TOMASZ, at="vest"))
    again = demand(PUSH_UP, TOMASZ, scalings=Scalings(load=Load(kg=vest.value, at="vest")))
    assert number(again.ratio).value == pytest.approx(110, abs=0.01)


def test_what_is_already_scaled_stays() -> None:
    """Ten kilograms on the belt, and a band for the rest."""
    loaded = Scalings(load=Load(kg=10))
    found = number(band_for(100, PULL_UP, TOMASZ, scalings=loaded))
    assert found.value == pytest.approx(10, rel=0.1)
    one_leg = Scalings(leverage=Leverage(lever="one-leg"))
    with_lever = number(body_angle_for(60, LEVER, TOMASZ, of="ratio", scalings=one_leg))
    without = number(body_angle_for(60, LEVER, TOMASZ, of="ratio"))
    assert abs(with_lever.value) < abs(without.value)


def test_u95_of_an_answer_is_that_of_the_demand_over_its_slope() -> None:
    found = number(body_angle_for(55, PUSH_UP, TOMASZ))
    at = [
        number(demand(PUSH_UP, TOMASZ, scalings=Scalings(leverage=Leverage(body=found.value + off))).hands)
        for off in (-0.5, 0, 0.5)
    ]
    slope = at[2].value - at[0].value
    assert pytest.approx(at[1].U95 / abs(slope), rel=0.02) == found.U95


def test_what_cannot_be_reached_is_said_with_what_can() -> None:
    with pytest.raises(
        DemandError, match=r"130 % cannot be reached: between .* deg it is \d+ to \d+ %; ask for a value"
    ):
        body_angle_for(130, PUSH_UP, TOMASZ)
    with pytest.raises(DemandError, match="5 % cannot be reached"):
        height_for(5, "feet", PUSH_UP, TOMASZ)


@pytest.mark.parametrize(
    ("athlete", "why"), [(Athlete(), "mass is not known"), (Athlete(age=15, mass_kg=50), "under 18")]
)
def test_without_what_it_needs_there_is_no_answer(athlete: Athlete, why: str) -> None:
    for answer in (band_for(80, PULL_UP, athlete), load_for(110, PULL_UP, athlete)):
        assert isinstance(answer, Unmeasured)
        assert why in answer.reason


def test_an_angle_needs_no_mass() -> None:
    someone, tomasz = (number(body_angle_for(55, PUSH_UP, who)) for who in (Athlete(), TOMASZ))
    assert someone.value == pytest.approx(tomasz.value, abs=2)
