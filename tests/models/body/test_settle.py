"""Postures that follow from their supports: nothing moves that should stay, and what is asked for is reached."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.body.athlete import Athlete
from models.body.doubts import inputs
from models.body.figure import ARMS, Posture, centre_of_mass, figure
from models.body.roots import all_roots, nearest_root
from models.body.settle import Settled, settle, settle_from
from models.body.situation import Situation, solve
from models.body.statics import equilibrium
from models.body.supports import Supports, feet_bear, hands_bear, pivot
from models.errors import DemandError
from models.movements.demand import Anchor, Pose
from tests.models.body.bodies import (
    BOTH,
    FROM_BAR,
    IN_STRAPS,
    MAN,
    NONE,
    ON_FEET,
    ON_HANDS,
    ON_TOES,
    PITCH,
    SHOULDER,
    push_up,
)


def rise(settled: Settled, supports: Supports) -> float:
    return (settled.hands_at - feet_bear(settled.body, supports, MAN)).imag


@given(height=st.floats(-0.35, 0.35), shoulder=st.floats(60, 100))
@settings(max_examples=30, deadline=None)
def test_hands_and_feet_are_at_their_heights(height: float, shoulder: float) -> None:
    supports = replace(ON_TOES, rise=height)
    settled = settle(Posture(10, shoulder), PITCH, supports, MAN)
    assert rise(settled, supports) == pytest.approx(height, abs=1e-9)
    assert settled.posture.shoulder == shoulder


def test_raising_the_hands_turns_the_body_up() -> None:
    pitches = [
        settle(Posture(10, 80), PITCH, replace(ON_TOES, rise=h), MAN).posture.pitch for h in (-0.3, -0.15, 0, 0.15, 0.3)
    ]
    assert pitches == sorted(pitches)
    assert pitches[0] < 0 < pitches[2]


def test_open_arms_are_plumb_over_the_floor_and_under_a_bar() -> None:
    pressed = settle(Posture(10, 0), BOTH, ON_TOES, MAN)
    assert pressed.body.wrist == pytest.approx(-0.332j)
    hung = settle(Posture(170, 0), BOTH, Supports("bar", "heels", rise=0.5), MAN)
    assert hung.body.wrist == pytest.approx(0.332j)
    assert (pressed.pull, hung.pull) == (1j, 1j)


def test_on_forearms_the_upper_arms_are_plumb() -> None:
    plank = settle(Posture(10, 0, elbow=90), BOTH, Supports("forearms", "toes"), MAN)
    assert plank.body.elbow == pytest.approx(-0.186j)


def test_a_bar_pulls_along_straight_arms() -> None:
    row = settle(Posture(170, 90), PITCH, Supports("bar", "heels", rise=0.55), MAN)
    assert row.pull == pytest.approx(row.hands_at / abs(row.hands_at))
    assert row.pull.imag > 0


@pytest.mark.parametrize("angle", [20, 30, 50, 70])
def test_arms_in_straps_hang_as_two_links_do(angle: float) -> None:
    """No moment at the shoulder but the arms' own weight is held by the strap; the strap runs to the anchor."""
    settled = settle(Posture(180 - angle, 90), SHOULDER, IN_STRAPS, MAN)
    held = equilibrium(settled.body, IN_STRAPS, MAN, settled.hands_at, settled.pull)
    assert held.moments["shoulder"] == pytest.approx(0, abs=1e-8)
    assert IN_STRAPS.anchor is not None
    to_anchor = feet_bear(settled.body, IN_STRAPS, MAN) + IN_STRAPS.anchor - settled.hands_at
    assert (to_anchor / settled.pull).imag == pytest.approx(0, abs=1e-9)
    assert (to_anchor / settled.pull).real > 0
    arms = [force for force in held.given if force.part in ARMS]
    assert sum(force.about(0j) for force in arms) != 0


def test_straps_find_the_body_for_the_height_of_the_handles() -> None:
    supports = replace(IN_STRAPS, rise=0.6)
    settled = settle(Posture(170, 90), BOTH, supports, MAN)
    assert rise(settled, supports) == pytest.approx(0.6, abs=1e-9)
    assert 90 < settled.posture.pitch < 180


def test_straps_hang_from_a_place_over_the_floor() -> None:
    """A box under the feet lifts them towards the anchor, as if it hung lower by as much."""
    hung = Situation(belly="up", hands="straps", feet="heels", pose=Pose(trunk=25), anchor=Anchor(up=1.3))
    values = {**inputs(Athlete(height_cm=200), "mean")}
    boxed = solve(replace(hung, feet_raised=0.4), values)
    lower = solve(replace(hung, anchor=Anchor(up=1.1)), values)
    assert boxed.held.hands == pytest.approx(lower.held.hands)
    assert abs(boxed.held.hands) != pytest.approx(abs(solve(hung, values).held.hands), abs=0.001)


@given(elbow=st.floats(5, 110), height=st.floats(-0.3, 0.3), shoulder=st.floats(65, 95))
@settings(max_examples=40, deadline=None)
def test_hands_and_feet_stay_while_the_elbows_bend(elbow: float, height: float, shoulder: float) -> None:
    supports = replace(ON_TOES, rise=height)
    straight = push_up(shoulder=shoulder, supports=supports)
    bent = settle_from(straight, Posture(10, 0, elbow), BOTH, supports, MAN)
    ways = [there.hands_at - pivot(there.body, supports, MAN) for there in (straight, bent)]
    assert ways[0] == pytest.approx(ways[1])
    wrists = [there.body.wrist - pivot(there.body, supports, MAN) for there in (straight, bent)]
    assert wrists[0] == pytest.approx(wrists[1])
    assert bent.posture.elbow == elbow
    assert bent.posture.pitch < straight.posture.pitch


def test_in_a_row_the_body_goes_up_as_the_elbows_bend() -> None:
    supports = Supports("bar", "heels", rise=0.55)
    straight = settle(Posture(170, 90), PITCH, supports, MAN)
    bent = settle_from(straight, Posture(170, 0, 100), BOTH, supports, MAN)
    assert bent.posture.pitch < straight.posture.pitch  # 180 is level with the belly up
    assert bent.pull == straight.pull
    assert bent.posture.shoulder < straight.posture.shoulder


def test_elbows_bend_behind_the_line_from_shoulder_to_hand() -> None:
    """They bend one way only: the forearm to the front, so in a push-up the elbow goes to the feet's side."""
    bent = push_up(elbow=90)
    assert (bent.body.elbow / bent.body.wrist).imag < 0  # clockwise of the line down to the hand: nearer to the feet
    assert bent.body.elbow.real < 0


def test_a_bent_body_that_is_told_is_taken_as_it_is() -> None:
    """Of a clip: trunk and shoulder are measured, and the hands are where the straight end shows them."""
    straight = push_up()
    told = settle_from(straight, Posture(12, 40, 85), NONE, ON_TOES, MAN)
    assert (told.posture.pitch, told.posture.shoulder) == (12, 40)
    assert told.hands_at - pivot(told.body, ON_TOES, MAN) == pytest.approx(
        straight.hands_at - pivot(straight.body, ON_TOES, MAN)
    )


@pytest.mark.parametrize(
    ("asked", "free", "supports"),
    [
        (Posture(180, 0), SHOULDER, FROM_BAR),
        (Posture(180, 0, hip=130, knee=130), SHOULDER, FROM_BAR),
        (Posture(0, 0), SHOULDER, FROM_BAR),
        (Posture(0, 0), SHOULDER, ON_HANDS),
        (Posture(110, 0, elbow=120), SHOULDER, FROM_BAR),
        (Posture(65, 0, elbow=90), SHOULDER, ON_HANDS),
        (Posture(90, 180), PITCH, FROM_BAR),
        (Posture(-90, 170), PITCH, ON_HANDS),
        (Posture(90, 90, hip=105, knee=110), PITCH, ON_FEET),
    ],
)
def test_the_centre_of_mass_comes_in_line_with_the_only_support(
    asked: Posture, free: frozenset[str], supports: Supports
) -> None:
    settled = settle(asked, free, supports, MAN)
    at = feet_bear(settled.body, supports, MAN) if supports is ON_FEET else settled.hands_at
    assert centre_of_mass(settled.body).real == pytest.approx(at.real, abs=1e-9)
    assert settled.hands_at == hands_bear(settled.body, supports, MAN)


def test_a_lever_hangs_and_a_planche_stands() -> None:
    lever, planche = settle(Posture(180, 0), SHOULDER, FROM_BAR, MAN), settle(Posture(0, 0), SHOULDER, ON_HANDS, MAN)
    back = settle(Posture(0, 0), SHOULDER, FROM_BAR, MAN)
    assert lever.hands_at.imag > 0 > planche.hands_at.imag
    assert lever.posture.shoulder > 30
    assert planche.posture.shoulder < 60  # the shoulders lean ahead of the hands
    assert back.posture.shoulder < -30


def test_shoulders_stay_within_what_they_can_do() -> None:
    """Deep in a muscle-up the nearest balance has the arms turned through the back; the one that people do is taken."""
    settled = settle(Posture(55, 0, elbow=115), SHOULDER, FROM_BAR, MAN)
    assert -100 <= settled.posture.shoulder <= 200


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(DemandError, match="do not reach their places"):
        settle(Posture(10, 80), PITCH, replace(ON_TOES, rise=3.0), MAN)
    with pytest.raises(DemandError, match="cannot stay where they are at the straight end"):
        settle_from(push_up(shoulder=120), Posture(10, 0, 150), BOTH, ON_TOES, MAN)
    with pytest.raises(DemandError, match="cannot balance"):
        settle(Posture(-10, 0, elbow=170), SHOULDER, ON_HANDS, MAN)
    with pytest.raises(DemandError, match="relaxed arms do not reach"):
        settle(Posture(100, 0, elbow=150), SHOULDER, replace(IN_STRAPS, anchor=-2 - 1j), MAN)


def test_a_settled_figure_is_that_of_its_posture() -> None:
    for settled in (push_up(), push_up(elbow=70), settle(Posture(180, 0), SHOULDER, FROM_BAR, MAN)):
        assert figure(settled.posture, MAN).wrist == pytest.approx(settled.body.wrist)


def test_the_nearest_root_is_found_on_either_side() -> None:
    assert nearest_root(lambda x: (x - 3) * (x + 8), 0, step=1, reach=20) == pytest.approx(3)
    assert nearest_root(lambda x: (x - 9) * (x + 4), 0, step=1, reach=20) == pytest.approx(-4)
    assert nearest_root(lambda x: x - 30, 0, step=1, reach=20) is None
    assert nearest_root(lambda x: x, 0, step=1, reach=20) == pytest.approx(0)


def test_all_roots_are_found() -> None:
    roots = all_roots(lambda x: (x - 3) * (x + 8) * (x - 7.5), -10, 10, step=1)
    assert roots == pytest.approx([-8, 3, 7.5])
