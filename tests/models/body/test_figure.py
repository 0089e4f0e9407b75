"""Where joints and masses come to lie: by hand where the angles are multiples of 90 degrees."""

from cmath import phase
from math import degrees

import pytest

from models.body.build import Build, build_values
from models.body.figure import Posture, centre_of_mass, figure, seam, way
from models.body.lengths import LENGTHS
from tests.models.body.bodies import MAN, WOMAN, drawn

UPRIGHT = drawn()


def near(a: complex, b: complex) -> bool:
    return abs(a - b) < 1e-12


def test_standing_the_joints_are_at_the_heights_of_the_table() -> None:
    """Drillis & Contini 1966 (Winter 2009, fig. 4.1): shoulder 0.818, hip 0.530, knee 0.285, ankle 0.039 of height."""
    floor = -0.818
    assert near(UPRIGHT.hip, 1j * (0.530 + floor))
    assert near(UPRIGHT.leg.knee, 1j * (0.285 + floor))
    assert near(UPRIGHT.leg.ankle, 1j * (0.039 + floor))
    assert near(UPRIGHT.wrist, -1j * (0.186 + 0.146))


def test_the_centre_of_mass_of_a_standing_man_is_a_little_over_half_of_his_height() -> None:
    """Summed by hand, rows of de Leva 1996 at the heights of Drillis & Contini 1966; 0.55 to 0.57 is what the trade knows."""
    arms = 2 * (
        0.0271 * (0.818 - 0.5772 * 0.186) + 0.0162 * (0.632 - 0.4574 * 0.146) + 0.0061 * (0.486 - 0.79 * 0.0495)
    )
    legs = 2 * (0.1416 * (0.530 - 0.4095 * 0.245) + 0.0433 * (0.285 - 0.4395 * 0.246) + 0.0137 * 0.0195)
    by_hand = 0.0694 * 0.930 + 0.4346 * (0.818 - 0.4310 * 0.288) + arms + legs
    assert centre_of_mass(UPRIGHT).imag + 0.818 == pytest.approx(by_hand, abs=1e-9)
    assert 0.55 < by_hand < 0.57


def test_her_centre_of_mass_is_where_the_womens_table_puts_it() -> None:
    """The trunk's centre lies higher in women (37.82 % of it from the shoulders, 43.10 % in men), so this model puts the
    whole body's a little higher, one set of lengths serving both."""
    man, woman = (centre_of_mass(figure(Posture(90, 0), who)).imag for who in (MAN, WOMAN))
    assert 0 < woman - man < 0.01


def test_upright_the_front_of_the_body_is_to_the_right() -> None:
    ahead = drawn(shoulder=90)
    assert near(ahead.wrist, 0.332)
    assert near(UPRIGHT.leg.toes, 1)
    assert drawn(hip=90).leg.knee.real == pytest.approx(LENGTHS["thigh"])
    assert drawn(knee=90).leg.ankle.real == pytest.approx(-LENGTHS["shank"])  # the heel comes to the buttock
    assert drawn(shoulder=0, elbow=90).wrist.real == pytest.approx(LENGTHS["forearm"])


def test_overhead_arms_are_straight_up() -> None:
    assert near(drawn(shoulder=180).wrist, 0.332j)


@pytest.mark.parametrize(
    ("pitch", "belly"),
    [(0, -1j), (90, 1), (180, 1j), (-90, -1)],
    ids=["belly down", "upright", "belly up", "upside down"],
)
def test_the_pitch_says_where_the_belly_faces(pitch: float, belly: complex) -> None:
    """Arms straight ahead point to where the belly faces; the head is where the pitch points."""
    body = drawn(pitch=pitch, shoulder=90)
    assert near(body.wrist / abs(body.wrist), belly)
    head = body.masses[0].at
    assert degrees(phase(head)) == pytest.approx(pitch)


def test_turning_the_body_turns_everything() -> None:
    turned = drawn(pitch=37, shoulder=50, elbow=30, hip=20, knee=40)
    level = drawn(pitch=0, shoulder=50, elbow=30, hip=20, knee=40)
    turn = turned.hip / level.hip
    assert degrees(phase(turn)) == pytest.approx(37)
    for a, b in zip(turned.masses, level.masses, strict=True):
        assert near(a.at, b.at * turn)


def test_the_masses_are_those_of_one_body() -> None:
    for who in (MAN, WOMAN):
        for posture in (Posture(10, 80), Posture(10, 80, other_hip=120, other_knee=90)):
            assert sum(mass.share for mass in figure(posture, who).masses) == pytest.approx(1)


def test_a_leg_that_does_as_the_other_changes_nothing() -> None:
    both = figure(Posture(20, 70, hip=30, knee=40), MAN)
    told = figure(Posture(20, 70, hip=30, knee=40, other_hip=30, other_knee=40), MAN)
    assert near(centre_of_mass(both), centre_of_mass(told))
    assert told.other is not None
    assert near(told.other.ankle, both.leg.ankle)


def test_a_tucked_leg_comes_nearer() -> None:
    one = figure(Posture(180, 60, other_hip=130, other_knee=130), MAN)
    full, tucked = figure(Posture(180, 60), MAN), figure(Posture(180, 60, hip=130, knee=130), MAN)
    assert centre_of_mass(tucked).real < centre_of_mass(one).real < centre_of_mass(full).real
    middle = (centre_of_mass(tucked) + centre_of_mass(full)) / 2
    assert near(centre_of_mass(one), middle)


def test_legs_apart_are_shorter_in_the_plane() -> None:
    apart = drawn(apart=60)
    assert abs(apart.leg.ankle - apart.hip) == pytest.approx(abs(UPRIGHT.leg.ankle - UPRIGHT.hip) / 2)


def test_a_flag_bends_its_hips_out_of_the_plane() -> None:
    """What is left of the thigh lies along the trunk, shortened by the cosine, and moves to neither side."""
    flag = figure(Posture(0, 180, hip=60, knee=60, aside=True), MAN)
    assert flag.leg.knee.imag == pytest.approx(0)
    assert abs(flag.leg.knee - flag.hip) == pytest.approx(LENGTHS["thigh"] / 2)
    assert abs(flag.leg.ankle - flag.leg.knee) == pytest.approx(LENGTHS["shank"])  # the knees undo the hips
    assert flag.leg.toes == 0


@pytest.mark.parametrize(("pitch", "shoulder", "fingers"), [(10, 80, 1), (170, 80, -1), (-90, 180, 1), (90, 0, 1)])
def test_fingers_point_ahead_of_the_arm_that_presses(pitch: float, shoulder: float, fingers: float) -> None:
    """To the head in a push-up, to the belly in a dip, away from the belly (which is at minus) in a handstand."""
    assert drawn(pitch=pitch, shoulder=shoulder).palm == fingers


def test_ways_and_seam() -> None:
    assert near(way(0), -1)
    assert near(way(90), -1j)
    assert [seam(angle) for angle in (190, -190, 180, 360, 45)] == [-170, 170, -180, 0, 45]


def test_a_build_is_made_of_its_values() -> None:
    values = build_values("men")
    heavier = Build.of({**values, "mass.thigh": 2 * values["mass.thigh"]})
    legs = {"upper_arm", "forearm", "hand", "thigh", "shank", "foot"}
    assert sum(share * (2 if name in legs else 1) for name, share in heavier.mass.items()) == pytest.approx(1)
    assert heavier.mass["thigh"] / heavier.mass["trunk"] == pytest.approx(2 * 0.1416 / 0.4346)
    assert heavier.length["trunk"] == pytest.approx(0.288)
