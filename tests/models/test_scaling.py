"""The six scalings as values: what they refuse, and how supports rank."""

from typing import get_args

import pytest
from pydantic import ValidationError

from models.movements.applicable import Applicable
from models.scaling import (
    CALIBRATED,
    STABILITY,
    UNCALIBRATED,
    Band,
    BandPoint,
    Leverage,
    Load,
    Partner,
    Place,
    ScalingName,
    Scalings,
    StillHold,
)

POINTS = ({"metres": 1.0, "kg": 0.0}, {"metres": 2.0, "kg": 20.0})


def test_nothing_is_scaled_unless_it_is_said() -> None:
    assert Scalings().used == ()
    assert Scalings().assistance is None


def test_the_scalings_that_are_used_are_named_in_the_order_of_the_design() -> None:
    every = Scalings(
        stability="rings",
        leverage=Leverage(body=30),
        load=Load(kg=5),
        band=Band(at="feet", kg=20),
        lowering_only=True,
    )
    assert every.used == ("assistance", "lowering_only", "load", "leverage", "stability")
    assert Scalings(hold=StillHold(at=90)).used == ("hold",)
    assert set(get_args(ScalingName)) == {*every.used, "hold"}


def test_help_is_a_band_or_a_partner() -> None:
    band, partner = Band(at="feet", kg=20), Partner(at="hips")
    assert Scalings(band=band).assistance == band
    assert Scalings(partner=partner).assistance == partner
    with pytest.raises(ValidationError, match="both a band and a partner help"):
        Scalings(band=band, partner=partner)


def test_a_band_is_written_in_one_way() -> None:
    assert Band.model_validate({"at": "feet", "calibration": POINTS}).calibration[1] == BandPoint(metres=2, kg=20)
    for wrong in ({"at": "feet"}, {"at": "feet", "kg": 20, "calibration": POINTS}):
        with pytest.raises(ValidationError, match="write one"):
            Band.model_validate(wrong)


@pytest.mark.parametrize(
    "points",
    [POINTS[:1], POINTS[::-1], (POINTS[0], POINTS[0]), ({"metres": 1.0, "kg": 5.0}, {"metres": 2.0, "kg": 4.0})],
    ids=["one", "backwards", "twice", "pulling less"],
)
def test_a_calibration_grows(points: tuple[dict[str, float], ...]) -> None:
    """Tension grows with the length (Uchida et al. 2016, J Phys Ther Sci 28(4):1266-1271: monotone in elongation)."""
    with pytest.raises(ValidationError, match="at least two points, each longer than the last and pulling no less"):
        Band.model_validate({"at": "feet", "calibration": points})


def test_an_uncalibrated_band_is_known_to_a_third() -> None:
    """Martin-San Agustin et al. 2023, J Sport Rehabil 32(2):220-226: 2.3 to 33.1 % off what was printed (abstract read)."""
    assert pytest.approx(0.30) == UNCALIBRATED
    assert CALIBRATED < UNCALIBRATED / 3


def test_a_body_angle_and_heights_exclude_each_other() -> None:
    assert Leverage(hands_raised=0.4, feet_raised=0.2).body is None
    for height in ("hands_raised", "feet_raised"):
        with pytest.raises(ValidationError, match="write body or the heights"):
            Leverage.model_validate({"body": 30, height: 0.3})


def test_a_hold_is_not_lowered() -> None:
    with pytest.raises(ValidationError, match="a hold is not lowered"):
        Scalings(lowering_only=True, hold=StillHold())


def test_looser_supports_rank_higher() -> None:
    """Common practice, no source. Ranks order; they say nothing of how much."""
    order: tuple[Place, ...] = ("wall", "floor", "soft-mat", "rings")
    ranks = [STABILITY[place] for place in order]
    assert ranks == sorted(set(ranks))
    assert set(STABILITY) == set(get_args(Place))


@pytest.mark.parametrize(
    "wrong",
    [
        {"load": {"kg": 0}},
        {"load": {"kg": 10, "at": "pocket"}},
        {"load": {"kg": "10"}},
        {"stability": "trampoline"},
        {"leverage": {"lever": "half-lay"}},
        {"leverage": {"body": 100}},
        {"band": {"at": "feet", "kg": -3}},
        {"springs": 2},
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        Scalings.model_validate(wrong)


def test_scalings_can_be_kept_and_read_again() -> None:
    scalings = Scalings(
        band=Band.model_validate({"at": "feet", "calibration": POINTS}), leverage=Leverage(lever="tuck")
    )
    assert Scalings.model_validate_json(scalings.model_dump_json()) == scalings
    with pytest.raises(ValidationError, match="frozen"):
        scalings.lowering_only = True  # type: ignore[misc]


def test_which_scalings_suit_is_said_by_what_is_written() -> None:
    suits = Applicable.model_validate({"assistance": ["band"], "help_at": ["feet"], "levers": ["tuck", "full"]})
    assert suits.names == ("assistance", "leverage")
    assert Applicable().names == ()
    with pytest.raises(ValidationError, match="go together"):
        Applicable.model_validate({"assistance": ["band"]})
