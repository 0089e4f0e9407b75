"""The six scalings as a coach writes them: units, what is usual where nothing is written, what is refused and where."""

import re

import pytest

from models.errors import BadInput
from models.limit import Limit
from models.movements import load_movement
from models.prescription import Prescription, parse_prescription
from models.scaling import Band, BandPoint, Leverage, Load, Partner, Scalings, StillHold

PULL_UP = 'movement = "pull-up"\nreps = 5\n'
PUSH_UP = 'movement = "push-up"\nreps = 8\n'
ROW = 'movement = "row"\nreps = 8\n'
LEVER = 'movement = "front-lever"\nhold = 10\n'


def parse(text: str) -> Prescription:
    return parse_prescription(text.encode(), "plan.toml")


def fault(text: str) -> str:
    with pytest.raises(BadInput) as caught:
        parse(text)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (PULL_UP, Scalings()),
        (PULL_UP + 'band = { kg = 15, at = "knees" }', Scalings(band=Band(at="knees", kg=15))),
        (PULL_UP + "band.kg = 15", Scalings(band=Band(at="feet", kg=15))),
        (PULL_UP + 'partner = { at = "hips" }', Scalings(partner=Partner(at="hips"))),
        (PULL_UP + "partner = {}", Scalings(partner=Partner(at="feet"))),
        (PULL_UP + 'lowering_only = true\ntempo = "5"', Scalings(lowering_only=True)),
        (PULL_UP + "load = { kg = 7.5 }", Scalings(load=Load(kg=7.5, at="belt"))),
        (PULL_UP + 'load = { kg = 7.5, at = "vest" }', Scalings(load=Load(kg=7.5, at="vest"))),
        ('movement = "pull-up"\nhold = 10\nhold_at = 90', Scalings(hold=StillHold(at=90))),
        (LEVER, Scalings(hold=StillHold())),
        (LEVER + 'variant = "tuck"', Scalings(hold=StillHold(), leverage=Leverage(lever="tuck"))),
        (ROW + "body_angle = 30", Scalings(leverage=Leverage(body=30))),
        (PUSH_UP + "hands_raised_cm = 40", Scalings(leverage=Leverage(hands_raised=0.4))),
        (PUSH_UP + "feet_raised_cm = 30", Scalings(leverage=Leverage(feet_raised=0.3))),
        (PULL_UP + 'stability = "rings"', Scalings(stability="rings")),
        (PULL_UP + 'variant = "rings"', Scalings(stability="rings")),
        (PULL_UP + 'variant = "rings"\nstability = "rings"', Scalings(stability="rings")),
    ],
)
def test_each_scaling_becomes_a_value_in_metres_and_kilograms(text: str, expected: Scalings) -> None:
    assert parse(text).scalings() == expected


def test_a_calibration_is_written_in_centimetres_and_kilograms() -> None:
    plan = parse(PULL_UP + "band.calibration = [\n  { cm = 90, kg = 3 },\n  { cm = 150, kg = 12.5 },\n]")
    points = (BandPoint(metres=0.9, kg=3), BandPoint(metres=1.5, kg=12.5))
    assert plan.scalings().band == Band(at="feet", calibration=points)


def test_a_band_may_hang_above_the_bar_or_over_the_body() -> None:
    plan = parse(PULL_UP + 'band = { kg = 10, above_hands_cm = 80, over = "body" }')
    assert plan.scalings().band == Band(at="feet", kg=10, metres_up=0.8, over="body")


def test_what_is_usual_is_the_catalogues_first_place() -> None:
    usual = load_movement("dip").scalings
    plan = parse('movement = "dip"\nreps = 5\nband.kg = 10\nload.kg = 5')
    scalings = plan.scalings()
    assert (scalings.band and scalings.band.at, scalings.load and scalings.load.at) == (
        usual.help_at[0],
        usual.load_at[0],
    )
    assert usual.help_at[0] != "feet"


def test_a_body_angle_is_asked_of_the_straight_end_of_a_rep_and_of_a_hold() -> None:
    assert parse(ROW + "body_angle = 30").rep_limits() == {"straight.body": Limit(low=25, high=35)}
    held = parse('movement = "row"\nhold = 10\nbody_angle = 30').hold_limits()
    assert held == {"in_position": Limit(low=9.5), "posture.body": Limit(low=25, high=35)}


def test_a_written_limit_replaces_that_of_the_body_angle() -> None:
    plan = parse(ROW + "body_angle = 30\nlimits.straight.body = { low = 28, high = 40 }")
    assert plan.rep_limits() == {"straight.body": Limit(low=28, high=40)}


def test_a_hold_at_a_point_is_asked_of_the_driving_angle() -> None:
    assert parse('movement = "pull-up"\nhold = 10\nhold_at = 90').hold_limits() == {
        "in_position": Limit(low=9.5),
        "posture.elbow": Limit(low=75, high=105),
    }
    lever = parse(LEVER + "hold_at = -30").hold_limits()
    assert lever["posture.body"] == Limit(low=-35, high=-25)


def test_strict_asks_for_what_the_catalogue_calls_strict() -> None:
    reps = load_movement("pull-up").reps
    assert reps is not None
    assert reps.strict is not None
    limits = parse(PULL_UP + "strict = true").rep_limits()
    assert limits == {"swing": Limit(high=reps.strict.swing), "hip_range": Limit(high=reps.strict.hip_range)}
    wider = parse(PULL_UP + "strict = true\nlimits.swing.high = 20").rep_limits()
    assert wider["swing"] == Limit(high=20)


def test_a_standard_is_limited_by_its_name() -> None:
    plan = parse(PULL_UP + "limits.standards.chin-over-bar.low = 0")
    assert plan.rep_limits() == {"standards.chin-over-bar": Limit(low=0)}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (PULL_UP + "band = {}", "line 3, column 1: band: a band needs kg, what it takes off, or calibration, points of cm"),
        (PULL_UP + "band = { kg = 5, calibration = [] , at = 3 }", "column 37: band.at: should be 'feet', 'knees'"),
        (PULL_UP + 'band = { kg = 5, at = "foot" }', "line 3, column 18: band.at: should be 'feet', 'knees', 'hips' or"),
        (PULL_UP + "band = { kg = 0 }", "line 3, column 10: band.kg: should be greater than 0, not 0"),
        (PULL_UP + "band = { calibration = [{ cm = 90, kg = 3 }] }", "band: calibration: give at least two points"),
        (
            PULL_UP + "band = { calibration = [{ cm = 90, kg = 3 }, { cm = 150, kg = 1 }] }",
            "line 3, column 1: band: calibration: give at least two points, each longer than the last and pulling no less",
        ),
        (PULL_UP + "band.calibration = [{ cm = 90, lb = 3 }]", "unknown key 'band.calibration.0.lb' (known: cm, kg)"),
        (PULL_UP + "band = { kg = 5, over = 2 }", "band.over: should be 'hands' or 'body', not 2"),
        (PULL_UP + "band.kg = 5\npartner = {}", "line 4, column 1: both band and partner are given; write one"),
        (PULL_UP + "load = 5", "line 3, column 1: load: should be a table, such as { kg = 5 }, not 5"),
        (PULL_UP + 'load = { kg = 5, at = "back" }', "line 3, column 18: load.at: 'back' does not suit pull-up"),
        (PULL_UP + "hold_at = 90", "line 3, column 1: hold_at says where to hold; write how long too, as hold = 10"),
        ('movement = "l-sit"\nhold = 10\nhold_at = 90', "line 3, column 1: hold_at: l-sit has no range to stop in"),
        (PULL_UP + "body_angle = 30", "line 3, column 1: body_angle does not apply: pull-up has none that stays"),
        (PUSH_UP + "body_angle = 30\nhands_raised_cm = 20", "line 4, column 1: body_angle follows from how high hands and"),
        (PUSH_UP + "hands_raised_cm = 800", "hands_raised_cm: should be less than or equal to 300, not 800"),
        (PUSH_UP + "hands_raised = 0.4", "line 3, column 1: unknown key 'hands_raised'; did you mean 'hands_raised_cm'?"),
        (PULL_UP + "hands_raised_cm = 40", "line 3, column 1: hands_raised_cm: not a scaling of pull-up (its scalings: "),
        (PULL_UP + 'stability = "ring"', "line 3, column 1: stability: should be 'floor', 'bars', 'wall', 'rings', 'ball'"),
        (PULL_UP + 'stability = "ball"', "line 3, column 1: stability: 'ball' does not suit pull-up (known: bars, rings)"),
        (PULL_UP + 'variant = "rings"\nstability = "bars"', "line 4, column 1: stability: the variant rings is on rings"),
        (LEVER + "strict = true", "line 3, column 1: strict has no meaning for a hold; remove it"),
        (PULL_UP + "limits.standards.chin-over-ba.low = 0", "pull-up has no such standard; did you mean 'chin-over-bar'?"),
        (PULL_UP + "limits.standards.chin-over-bar.low = 200", "200 % of height cannot be; write a value from -100 to 100"),
        (PULL_UP + "limits.raising_phases.transition.low = 3", "pull-up has no such phase (known: none)"),
        (
            'movement = "muscle-up"\nreps = 3\nlowering_only = true\nlimits.raising_phases.transition.low = 3',
            "line 4, column 23: limits.raising_phases.transition is not checked when lowering_only is true",
        ),
        (LEVER + "limits.swing.high = 5", "line 3, column 8: limits.swing has no meaning for a hold; remove it"),
        (PULL_UP + "limits.standards.chin-over-bar = { lo = 0 }", "unknown key 'limits.standards.chin-over-bar.lo'; did you"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_one_line_that_points_at_it(text: str, says: str) -> None:
    message = fault(text)
    assert says in message
    assert re.match(r"plan\.toml, line \d+(, column \d+)?: ", message)
    assert "\n" not in message
    assert len(message) < 300
