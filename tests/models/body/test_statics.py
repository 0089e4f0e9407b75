"""Equilibrium: against hand calculations, a linear system solved by numpy, and both sides of every joint."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.body.figure import ARMS, Figure, Posture, centre_of_mass, figure
from models.body.settle import Settled
from models.body.statics import BEYOND, FLEXES, Equilibrium, equilibrium
from models.body.supports import Force, Load, Pull, Supports, cross, feet_bear, hands_bear
from models.errors import DemandError
from tests.models.body.bodies import FROM_BAR, MAN, ON_FEET, ON_HANDS, ON_TOES, drawn, push_up

LOADED = Load(0.3, "vest")
BAND = Pull("hips", ((0.0, 0.2),), overhead=True)


def hold(body: Figure, supports: Supports, pull: complex = 1j) -> Equilibrium:
    return equilibrium(body, supports, MAN, hands_bear(body, supports, MAN), pull)


def held(settled: Settled, supports: Supports) -> Equilibrium:
    return equilibrium(settled.body, supports, MAN, settled.hands_at, settled.pull)


def all_forces(found: Equilibrium) -> list[Force]:
    ends = [Force("forearm", found.hands_at, found.hands), Force("lower_leg", found.feet_at, found.feet)]
    return [*found.given, *ends]


ANGLE = st.floats(-40, 40)


@given(pitch=st.floats(-20, 50), shoulder=st.floats(50, 110), hip=ANGLE, knee=st.floats(0, 60), lean=st.floats(-15, 15))
@settings(max_examples=60, deadline=None)
def test_nothing_moves_and_nothing_turns(pitch: float, shoulder: float, hip: float, knee: float, lean: float) -> None:
    """Newton: the forces add up to nothing, and so do their moments about any point."""
    body = drawn(pitch=pitch, shoulder=shoulder, hip=hip, knee=knee)
    for supports in (ON_TOES, ON_HANDS, ON_FEET, replace(ON_TOES, load=LOADED, band=BAND)):
        found = hold(body, supports, 1j * np.exp(1j * np.radians(lean)))
        forces = all_forces(found)
        assert abs(sum(force.force for force in forces)) < 1e-12
        for point in (0j, 0.3 + 0.7j, found.hands_at):
            assert abs(sum(force.about(point) for force in forces)) < 1e-12


@given(pitch=st.floats(-20, 50), shoulder=st.floats(50, 110), hip=ANGLE, lean=st.floats(-15, 15))
@settings(max_examples=40, deadline=None)
def test_a_linear_system_gives_the_same_forces(pitch: float, shoulder: float, hip: float, lean: float) -> None:
    """Three equations for the hands' size and the feet's two components, solved without any of the code under test."""
    body = drawn(pitch=pitch, shoulder=shoulder, hip=hip)
    way = 1j * np.exp(1j * np.radians(lean))
    hands, feet = hands_bear(body, ON_TOES, MAN), feet_bear(body, ON_TOES, MAN)
    centre = centre_of_mass(body)
    rows = [
        [way.real, 1, 0],
        [way.imag, 0, 1],
        [hands.real * way.imag - hands.imag * way.real, -feet.imag, feet.real],
    ]
    size, along, up = np.linalg.solve(np.array(rows), np.array([0, 1, centre.real]))
    found = hold(body, ON_TOES, way)
    assert found.hands == pytest.approx(size * way)
    assert found.feet == pytest.approx(complex(along, up))


@given(pitch=st.floats(-20, 50), shoulder=st.floats(50, 110), elbow=st.floats(0, 90), hip=ANGLE)
@settings(max_examples=40, deadline=None)
def test_both_sides_of_a_joint_ask_the_same_of_it(pitch: float, shoulder: float, elbow: float, hip: float) -> None:
    body = drawn(pitch=pitch, shoulder=shoulder, elbow=elbow, hip=hip)
    found = hold(body, replace(ON_TOES, load=LOADED))
    at = {"shoulder": body.shoulder, "elbow": body.elbow, "hip": body.hip, "knee": body.leg.knee}
    for joint, parts in BEYOND.items():
        near_side = [force for force in all_forces(found) if force.part not in parts]
        turning = sum(force.about(at[joint]) for force in near_side)
        assert found.moments[joint] == pytest.approx(-FLEXES[joint] * turning, abs=1e-12)


def test_a_level_plank_by_hand() -> None:
    """A beam on two supports: the share of each is the distance of the centre of mass from the other."""
    body = drawn(pitch=0, shoulder=90)
    found = hold(body, ON_TOES)
    hands, feet, centre = found.hands_at.real, found.feet_at.real, centre_of_mass(body).real
    assert found.hands.imag == pytest.approx((centre - feet) / (hands - feet))
    assert found.feet.imag == pytest.approx((hands - centre) / (hands - feet))


def test_a_front_lever_by_hand() -> None:
    """The weight of all but the arms, at the distance of its centre from the shoulders (rows of de Leva 1996)."""
    body = drawn(pitch=180, shoulder=50)
    legs = 2 * (0.1416 * (0.288 + 0.4095 * 0.245) + 0.0433 * (0.533 + 0.4395 * 0.246))
    feet = 2 * 0.0137 * (0.288 + 0.245 + 0.246 + 0.039 / 2)
    trunk = 0.4346 * 0.431 * 0.288 - 0.0694 * 0.112
    assert hold(body, FROM_BAR).moments["shoulder"] == pytest.approx(-(trunk + legs + feet), abs=1e-9)
    assert hold(body, FROM_BAR).moments["shoulder"] == pytest.approx(-0.233, abs=0.005)


@pytest.mark.parametrize(
    ("pitch", "angles", "supports", "works"),
    [
        (
            180,
            {"shoulder": 50},
            FROM_BAR,
            {"shoulder": -1, "hip": 1},
        ),  # front lever: pulled down, the belly holds the legs
        (0, {"shoulder": -60}, FROM_BAR, {"shoulder": 1, "hip": -1}),  # back lever: the other way round
        (0, {"shoulder": 40}, ON_HANDS, {"shoulder": 1}),  # planche
        (90, {"shoulder": 10, "hip": 90}, ON_HANDS, {"hip": 1, "knee": -1}),  # L-sit: hips bend, knees straighten
        (58, {"shoulder": 90, "hip": 105, "knee": 110}, ON_FEET, {"hip": -1, "knee": -1}),  # squat
        (85, {"shoulder": 120, "elbow": 120}, FROM_BAR, {"elbow": 1}),  # pull-up
    ],
)
def test_the_muscles_that_work_are_those_of_the_trade(
    pitch: float, angles: dict[str, float], supports: Supports, works: dict[str, int]
) -> None:
    """Flexors positive, extensors negative (common practice, no source)."""
    moments = {str(joint): moment for joint, moment in hold(drawn(pitch=pitch, **angles), supports).moments.items()}
    for joint, sign in works.items():
        assert moments[joint] * sign > 0.01


def test_a_push_up_straightens_elbows_and_keeps_hips_from_sagging() -> None:
    moments = held(push_up(elbow=90), ON_TOES).moments
    assert moments["elbow"] < -0.05
    assert moments["hip"] > 0.05


@pytest.mark.parametrize(("supports", "sign"), [(ON_HANDS, 1), (FROM_BAR, 1), (ON_FEET, 0)])
def test_hands_or_feet_alone_bear_the_whole_weight(supports: Supports, sign: int) -> None:
    found = hold(drawn(pitch=20, shoulder=60), supports)
    assert (found.hands, found.feet) == pytest.approx((1j * sign, 1j * (1 - sign)))
    point = found.hands_at if sign else found.feet_at
    assert point.real == pytest.approx(centre_of_mass(drawn(pitch=20, shoulder=60)).real)


def test_load_and_band_change_the_hands_by_what_they_weigh() -> None:
    hang = drawn(shoulder=180)
    assert hold(hang, replace(FROM_BAR, load=Load(0.25, "belt"))).hands == pytest.approx(1.25j)
    assert hold(hang, replace(FROM_BAR, band=Pull("feet", ((0.0, 0.3),)))).hands == pytest.approx(0.7j)


def test_a_plate_on_the_back_is_shared_by_hands_and_feet() -> None:
    settled = push_up()
    plain, loaded = held(settled, ON_TOES), held(settled, replace(ON_TOES, load=Load(0.2, "back")))
    more = (loaded.hands - plain.hands).imag
    x = (settled.body.chest - plain.feet_at).real / (plain.hands_at - plain.feet_at).real
    assert more == pytest.approx(0.2 * x)
    assert (loaded.feet - plain.feet).imag == pytest.approx(0.2 * (1 - x))


def test_on_one_leg_that_leg_does_it_all() -> None:
    """The same posture with one leg doing nothing: what it weighed about its own knee is no longer taken off."""
    angles = {"pitch": 60.0, "shoulder": 90.0, "hip": 100.0, "knee": 100.0}
    both = hold(drawn(**angles), ON_FEET)
    alone = hold(drawn(**angles, other_hip=100.0, other_knee=100.0), ON_FEET)
    knee = drawn(**angles).leg.knee
    hanging = sum(force.about(knee) for force in alone.given if force.part == "other_lower_leg")
    assert alone.moments["knee"] == pytest.approx(both.moments["knee"] - hanging)
    assert abs(hanging) > 0.003


def test_on_the_knees_nothing_is_asked_of_them() -> None:
    on_knees = replace(ON_TOES, feet="knees")
    lying = drawn(pitch=30, shoulder=60, knee=30)
    assert hold(lying, on_knees).moments["knee"] == pytest.approx(0)


def test_a_strap_along_the_arms_asks_nothing_of_the_shoulders_but_their_weight() -> None:
    body = drawn(pitch=150, shoulder=90)
    hands = hands_bear(body, Supports("straps", "heels"), MAN)
    found = equilibrium(body, Supports("straps", "heels"), MAN, hands, hands / abs(hands))
    arms = sum(force.about(0j) for force in found.given if force.part in ARMS)
    assert found.moments["shoulder"] == pytest.approx(-arms)


def test_a_posture_that_would_tip_is_refused() -> None:
    with pytest.raises(DemandError, match="would tip over the feet"):
        hold(figure(Posture(0, 90), MAN), ON_TOES, -1j)
    with pytest.raises(DemandError, match="carries the whole body; use a weaker band"):
        hold(drawn(shoulder=180), replace(FROM_BAR, band=Pull("feet", ((0.0, 1.2),))))


def test_the_sign_of_a_moment_is_that_of_the_arm() -> None:
    assert cross(0.5 + 0.2j, 1j) == 0.5
