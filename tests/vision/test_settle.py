"""Choosing among candidates: made-up looks whose right sequence is known."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.vision.drawn import STANDING, person
from vision.looks import Look
from vision.pose import Bodies
from vision.settle import settle
from vision.skeleton import INDEX, JOINTS

Array = NDArray[np.float64]

RATE = 12.0
RIGHT = person(STANDING, (300, 300)).joints
WRONG = RIGHT @ np.diag([1.0, -1.0]) + [40, 620]


def look(i: int, *bodies: Array, visibility: float | tuple[float, ...] = 1.0) -> Look:
    seen = np.broadcast_to(np.reshape(visibility, (-1, 1)), (len(bodies), len(JOINTS)))
    return Look(3 * i, i / RATE, Bodies(np.array(bodies), np.zeros((len(bodies), len(JOINTS), 3)), seen))


def shaken(body: Array, seed: int, pixels: float = 4.0) -> Array:
    return body + np.random.default_rng(seed).normal(0, pixels, body.shape)


def test_a_body_seen_well_all_along_is_kept_in_every_look() -> None:
    assert settle(tuple(look(i, shaken(RIGHT, i)) for i in range(20))) == dict.fromkeys(range(20), 0)


def test_one_wrong_look_gives_way_to_its_second_candidate() -> None:
    looks = [look(i, shaken(RIGHT, i)) for i in range(12)]
    looks[5] = look(5, WRONG, shaken(RIGHT, 5))
    assert settle(tuple(looks)) == {i: int(i == 5) for i in range(12)}


def test_a_look_with_wrong_candidates_only_is_left_out() -> None:
    looks = [look(i, shaken(RIGHT, i)) for i in range(12)]
    looks[5] = look(5, WRONG, shaken(WRONG, 1, 60))
    assert settle(tuple(looks)) == {i: 0 for i in range(12) if i != 5}


def test_wrong_looks_at_both_ends_are_left_out() -> None:
    looks = [look(i, WRONG if i in (0, 1, 11) else shaken(RIGHT, i)) for i in range(12)]
    assert list(settle(tuple(looks))) == list(range(2, 11))


def test_of_two_that_hang_together_the_better_seen_wins() -> None:
    looks = tuple(look(i, shaken(WRONG, i), shaken(RIGHT, i), visibility=(0.5, 0.95)) for i in range(12))
    assert set(settle(looks).values()) == {1}


def test_an_athlete_who_moves_fast_is_followed() -> None:
    """Half a body's size in a third of a second, as at the bottom of a fast squat."""
    down = np.clip(np.arange(12) - 3, 0, 4) / 4
    bodies = [shaken(RIGHT, i) + [0, 0.5 * 400 * share] for i, share in enumerate(down)]
    assert len(settle(tuple(look(i, body) for i, body in enumerate(bodies)))) == 12


def test_a_long_stretch_without_the_athlete_is_bridged() -> None:
    looks = [look(i, shaken(RIGHT, i)) for i in range(6)] + [look(60 + i, shaken(RIGHT, i)) for i in range(6)]
    assert list(settle(tuple(looks))) == list(range(12))


def test_no_looks_give_nothing() -> None:
    assert settle(()) == {}


@pytest.mark.parametrize("hidden", ["left_wrist", "right_wrist"])
def test_a_joint_hidden_on_one_side_does_no_harm(hidden: str) -> None:
    looks = [look(i, shaken(RIGHT, i)) for i in range(6)]
    seen = np.ones((1, len(JOINTS)))
    seen[0, INDEX[hidden]] = 0.05
    looks = [replace(each, candidates=replace(each.candidates, visibility=seen)) for each in looks]
    assert len(settle(tuple(looks))) == 6
