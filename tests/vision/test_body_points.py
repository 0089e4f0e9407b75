"""Body points in postures whose answer is plain, each as `models.movements.standard` defines it."""

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from models.movements.standard import HIP_CREASE, KNEE_TOP
from vision import body_points as where
from vision.body_points import NEEDS, SHARES, SHARES_U
from vision.breadth import BREADTH

Array = NDArray[np.float64]

EXACT = SHARES | {"hip_forward": 0.0}
"""Shares for points that are joints already: the hip's landmark is taken for its centre."""


def turned(points: dict[str, Array], degrees: float) -> dict[str, Array]:
    """The same body turned about the origin, positive toward the belly from upright."""
    turn = np.radians(-degrees)
    matrix = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return {name: matrix @ point for name, point in points.items()}


STANDING = {
    "ankle": np.array([0.0, 0.039]),
    "heel": np.array([-0.03, 0.0]),
    "toe": np.array([0.11, 0.0]),
    "knee": np.array([0.0, 0.285]),
    "hip": np.array([0.0, 0.53]),
    "shoulder": np.array([0.0, 0.818]),
    "ear": np.array([0.01, 0.925]),
    "nose": np.array([0.081, 0.9125]),
    "elbow": np.array([0.0, 0.632]),
    "wrist": np.array([0.0, 0.486]),
    "index": np.array([0.0, 0.43]),
}
"""Heights of Drillis & Contini 1966 (Winter 2009, figure 4.1); the face as `SHARES` has it."""
SITTING = STANDING | {
    "knee": np.array([0.245, 0.285]),
    "ankle": np.array([0.245, 0.039]),
    "hip": np.array([0.0, 0.285]),
    "shoulder": np.array([0.0, 0.573]),
}


@dataclass(frozen=True)
class Turn:
    degrees: float
    name: str


TURNS = [Turn(0, "upright"), Turn(90, "face down"), Turn(-90, "face up"), Turn(180, "upside down"), Turn(37, "leaning")]


@pytest.mark.parametrize("turn", TURNS, ids=lambda turn: turn.name)
def test_every_point_turns_with_the_body(turn: Turn) -> None:
    upright, now = STANDING, turned(STANDING, turn.degrees)
    for point in (where.chin, where.skull, where.shoulder, where.hip, where.hip_crease, where.knee_top, where.grip):
        expected = turned({"it": point(upright, SHARES)}, turn.degrees)["it"]
        assert point(now, SHARES) == pytest.approx(expected), point.__name__
    for end in (0, 1):
        expected = turned({"it": where.chest(upright, SHARES)[end]}, turn.degrees)["it"]
        assert where.chest(now, SHARES)[end] == pytest.approx(expected)


def test_the_chin_of_a_standing_body_is_where_drillis_and_contini_have_it() -> None:
    """Chin at .870 of height (Drillis & Contini 1966); the ear (tragion) at .925 (ANSUR: .075 below the crown)."""
    x, up = where.chin(STANDING, SHARES)
    assert up == pytest.approx(0.870, abs=0.006)
    assert x == pytest.approx(0.01 + 0.047, abs=0.002)


def test_the_skull_reaches_from_the_crown_to_a_head_length() -> None:
    """Crown at 1 of height; head length .112 (ANSUR, from memory), the brow further ahead than the ear."""
    x, up = where.skull(STANDING, SHARES)
    assert up + SHARES["skull_radius"] == pytest.approx(1.0, abs=0.004)
    assert x + SHARES["skull_radius"] > STANDING["ear"][0] + 0.05
    assert 2 * SHARES["skull_radius"] == pytest.approx(0.112)


def test_a_nodding_head_takes_its_chin_along() -> None:
    nodding = STANDING | {"nose": np.array([0.01 + 0.072 * np.cos(-0.7), 0.925 + 0.072 * np.sin(-0.7)])}
    assert where.chin(nodding, SHARES)[1] < where.chin(STANDING, SHARES)[1] - 0.012
    assert where.chin(nodding, SHARES)[0] < where.chin(STANDING, SHARES)[0]


def test_the_chest_lies_before_the_trunk_from_shoulders_to_breastbone() -> None:
    upper, lower = where.chest(STANDING, EXACT)
    assert upper == pytest.approx([SHARES["chest_depth"], 0.818])
    assert lower == pytest.approx([SHARES["chest_depth"], 0.818 - SHARES["chest_down"] * 0.288])


def test_a_shoulder_is_its_landmark_or_so_much_further_down_the_trunk() -> None:
    assert where.shoulder(STANDING, SHARES) == pytest.approx(STANDING["shoulder"])
    lying = turned(STANDING, 90)
    lower = where.shoulder(lying, SHARES | {"shoulder_rise": 0.03})
    assert lower == pytest.approx(lying["shoulder"] - [0.03, 0])


def test_the_hip_s_centre_lies_behind_its_landmark() -> None:
    assert where.hip(STANDING, EXACT) == pytest.approx(STANDING["hip"])
    assert where.hip(STANDING, SHARES) == pytest.approx([-SHARES["hip_forward"] * 0.288, 0.53])


def test_the_crease_of_a_straight_hip_lies_ahead_and_of_a_sitting_one_ahead_and_above() -> None:
    assert where.hip_crease(STANDING, EXACT) == pytest.approx([HIP_CREASE, 0.53])
    half = HIP_CREASE / np.sqrt(2)
    assert where.hip_crease(SITTING, EXACT) == pytest.approx([half, 0.285 + half])


def test_the_crease_of_an_arched_hip_still_lies_ahead() -> None:
    arched = STANDING | {"knee": np.array([-0.06, 0.29])}
    assert where.hip_crease(arched, EXACT)[0] > 0.9 * HIP_CREASE


def test_the_kneecap_of_a_sitting_body_is_as_high_as_measured_ones() -> None:
    """Knee height sitting: .318 of height (ANSUR, Gordon et al. 1989; from memory)."""
    assert where.knee_top(SITTING, SHARES) == pytest.approx([0.245, 0.318])
    assert pytest.approx(0.318) == 0.285 + KNEE_TOP


@pytest.mark.parametrize("along", [(0.0, 1.0), (0.6, -0.8), (1.0, 0.0)])
def test_the_grip_lies_from_the_wrist_toward_the_knuckle_however_long_the_hand_seems(
    along: tuple[float, float],
) -> None:
    wrist = np.array([0.3, 1.2])
    for length in (0.02, 0.06):
        hands = STANDING | {"wrist": wrist, "index": wrist + length * np.array(along)}
        assert where.grip(hands, SHARES) == pytest.approx(wrist + SHARES["grip"] * np.array(along))


def test_palms_press_under_the_wrist() -> None:
    assert where.palms(STANDING, SHARES) == pytest.approx([0.0, 0.486 - SHARES["palm"]])


def test_soles_press_under_a_flat_foot_and_at_the_lower_end_of_a_tilted_one() -> None:
    assert where.soles(STANDING, SHARES)[1] == pytest.approx(0.0)
    on_toes = STANDING | {"ankle": np.array([0.0, 0.12]), "heel": np.array([-0.04, 0.1])}
    assert where.soles(on_toes, SHARES) == pytest.approx(STANDING["toe"])


def test_every_share_has_its_doubt_and_every_need_a_breadth() -> None:
    assert SHARES.keys() == SHARES_U.keys()
    assert all(u > 0 for u in SHARES_U.values())
    assert {name for names in NEEDS.values() for name in names} <= BREADTH.keys()
