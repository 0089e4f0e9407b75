"""Where hands and feet bear, what a band pulls and where a load hangs."""

from dataclasses import replace

import pytest

from models.body.figure import Figure, Posture, figure
from models.body.lengths import KNEE
from models.body.supports import (
    Force,
    Load,
    Pull,
    Supports,
    carried,
    cross,
    feet_bear,
    hands_bear,
    pivot,
    pressed,
    push,
)
from models.errors import DemandError
from models.movements.demand import FootSupport
from models.scaling import HelpAt, LoadAt
from tests.models.body.bodies import FROM_BAR, MAN, ON_TOES, drawn

HANG = drawn(shoulder=180)
PRESS = drawn(pitch=10, shoulder=80)
GRIP = MAN.length["grip"]


def total(forces: list[Force]) -> complex:
    return sum((force.force for force in forces), 0j)


def test_a_closed_hand_bears_at_its_grip_and_a_flat_one_on_its_heel() -> None:
    assert hands_bear(HANG, FROM_BAR, MAN) == pytest.approx(HANG.wrist + 1j * GRIP)
    assert hands_bear(PRESS, ON_TOES, MAN) - PRESS.wrist == pytest.approx(0.02 - 0.02j)


def test_forearms_bear_near_the_elbow() -> None:
    plank = drawn(pitch=0, shoulder=90, elbow=90)
    at = hands_bear(plank, Supports("forearms", "toes"), MAN)
    assert at.real == pytest.approx(0.25 * 0.146)
    assert at.imag < plank.elbow.imag


@pytest.mark.parametrize(
    ("feet", "where"),
    [
        ("flat", (0.5 - 0.25) * 0.152 - 0.039j),
        ("heels", -0.25 * 0.152 - 0.039j),
        ("toes", (0.73 - 0.25) * 0.152 - 0.039j),
    ],
)
def test_a_standing_foot_bears_under_the_ankle(feet: FootSupport, where: complex) -> None:
    """The ankle a quarter of the foot ahead of the heel, the ball at 0.73 of it (common practice, no source)."""
    standing = drawn()
    supports = Supports("none", feet)
    assert feet_bear(standing, supports, MAN) - standing.leg.ankle == pytest.approx(where)


def test_a_flat_foot_points_to_where_the_belly_does() -> None:
    for pitch, way in ((80, 1), (100, 1), (140, 1)):
        body = drawn(pitch=pitch)
        assert (feet_bear(body, Supports("none", "flat"), MAN) - body.leg.ankle).real * way > 0


def test_a_knee_bears_straight_below_and_is_what_the_body_turns_about() -> None:
    on_knees = Supports("floor", "knees")
    body = drawn(pitch=30, shoulder=60, knee=60)
    assert feet_bear(body, on_knees, MAN) == pytest.approx(body.leg.knee - 1j * KNEE)
    assert pivot(body, on_knees, MAN) == body.leg.knee
    assert pivot(body, ON_TOES, MAN) == feet_bear(body, ON_TOES, MAN)
    assert pivot(body, Supports("bar", "flat"), MAN) == body.leg.ankle


def test_lower_legs_on_the_floor_bear_themselves_and_lifted_ones_do_not() -> None:
    on_knees = Supports("floor", "knees")
    lying, lifted = (drawn(pitch=30, shoulder=60, knee=knee) for knee in (30, 60))
    lower = 2 * (MAN.mass["shank"] + MAN.mass["foot"])
    assert total(carried(lying, on_knees, MAN, 0j)).imag == pytest.approx(-(1 - lower))
    assert total(carried(lifted, on_knees, MAN, 0j)).imag == pytest.approx(-1)


def test_gravity_pulls_down_on_the_whole_weight() -> None:
    assert total(carried(PRESS, ON_TOES, MAN, 0j)) == pytest.approx(-1j)


@pytest.mark.parametrize(("at", "where"), [("belt", "hip"), ("vest", "chest"), ("back", "chest"), ("ankles", "ankle")])
def test_a_load_hangs_where_it_is_said(at: LoadAt, where: str) -> None:
    loaded = replace(FROM_BAR, load=Load(0.25, at))
    forces = carried(HANG, loaded, MAN, 0j)
    extra = forces[len(HANG.masses) :]
    point = {"hip": HANG.hip, "chest": HANG.chest, "ankle": HANG.leg.ankle}[where]
    assert [force.at for force in extra] == [point]
    assert total(extra) == pytest.approx(-0.25j)


def test_cuffs_hang_on_both_ankles() -> None:
    one_leg = figure(Posture(180, 60, other_hip=130, other_knee=130), MAN)
    extra = carried(one_leg, replace(FROM_BAR, load=Load(0.1, "ankles")), MAN, 0j)[len(one_leg.masses) :]
    assert one_leg.other is not None
    assert [force.at for force in extra] == [one_leg.leg.ankle, one_leg.other.ankle]
    assert total(extra) == pytest.approx(-0.1j)


@pytest.mark.parametrize(
    ("length", "pull"), [(0.4, 0.0), (0.5, 0.0), (0.75, 0.1), (1.0, 0.2), (1.25, 0.25), (2.0, 0.4)]
)
def test_a_calibrated_band_pulls_by_its_length(length: float, pull: float) -> None:
    """Straight lines between the points, the last one going on; below the first a slack band does not push."""
    band = Pull("feet", ((0.5, 0.0), (1.0, 0.2), (1.5, 0.3)))
    assert band.of_length(length) == pytest.approx(pull)


def test_a_band_with_one_point_always_pulls_that() -> None:
    assert {Pull("feet", ((0.0, 0.3),)).of_length(length) for length in (0.0, 0.7, 5.0)} == {0.3}


def band_on(body: Figure, band: Pull, hands: complex) -> Force:
    return carried(body, replace(FROM_BAR, band=band), MAN, hands)[-1]


@pytest.mark.parametrize("at", ["feet", "knees", "hips", "chest"])
def test_a_band_pulls_from_the_body_to_the_hands(at: HelpAt) -> None:
    hands = hands_bear(HANG, FROM_BAR, MAN)
    force = band_on(HANG, Pull(at, ((0.0, 0.2),)), hands)
    assert force.force == pytest.approx(0.2j)
    assert force.at.real == pytest.approx(0)
    assert force.at.imag < hands.imag


def test_the_further_down_a_band_holds_the_longer_it_is() -> None:
    points = ((0.0, 0.0), (1.0, 1.0))
    hands = hands_bear(HANG, FROM_BAR, MAN)
    places: tuple[HelpAt, ...] = ("chest", "hips", "knees", "feet")
    pulls = [abs(band_on(HANG, Pull(at, points), hands).force) for at in places]
    assert pulls == sorted(pulls)
    feet = 0.332 + GRIP + 0.818  # hands over shoulders, shoulders over the soles
    assert pulls[-1] == pytest.approx(feet)


def test_a_band_to_the_side_pulls_to_the_side() -> None:
    lever = drawn(pitch=180, shoulder=60)
    force = band_on(lever, Pull("hips", ((0.0, 0.2),)), 0.4j)
    assert force.force.real < 0 < force.force.imag
    assert abs(force.force) == pytest.approx(0.2)


def test_a_band_over_the_body_pulls_straight_up() -> None:
    assert band_on(PRESS, Pull("hips", ((0.0, 0.2),), overhead=True), -0.3j).force == pytest.approx(0.2j)
    long = band_on(PRESS, Pull("hips", ((0.0, 0.0), (1.0, 0.5)), up=1.0, overhead=True), -0.3j)
    assert long.force == pytest.approx(0.5j * (0.7 - PRESS.hip.imag))


def test_a_band_that_hangs_too_low_is_refused() -> None:
    with pytest.raises(DemandError, match="not over the body; write how high"):
        band_on(PRESS, Pull("hips", ((0.0, 0.0), (1.0, 0.5)), overhead=True), -0.5j)
    with pytest.raises(DemandError, match="not over the body"):
        band_on(HANG, Pull("hips", ((0.0, 0.2),)), HANG.hip)


def test_a_push_leans_as_far_as_it_is_said() -> None:
    assert push(ON_TOES) == pytest.approx(1j)
    assert push(replace(ON_TOES, lean=90)) == pytest.approx(-1)
    assert [pressed(Supports(hands, "toes")) for hands in ("floor", "forearms", "bar", "straps")] == [
        True,
        True,
        False,
        False,
    ]


def test_a_moment_is_counterclockwise() -> None:
    assert cross(1, 1j) == 1
    assert cross(1j, 1) == -1
    assert Force("trunk", 2 + 1j, -3j).about(1 + 1j) == -3
