"""The baseline on an angle whose strokes are known: even speed, so 5 % at each end is what it misses."""

import numpy as np
import pytest

from models.movements import load_movement
from models.movements.movement import Angle
from tests.bench import baseline

KNOTS = ([0, 1, 4, 5, 6, 7, 10, 11, 12, 13], [10, 10, 90, 90, 10, 10, 90, 90, 10, 10])
"""Two reps: lowering 3 s, bottom 1 s, raising 1 s, top 1 s."""


def test_two_reps() -> None:
    reps = load_movement("push-up").reps
    assert reps is not None
    time = np.arange(0, 13, 1 / 60)
    turn = np.interp(time, *KNOTS)
    angles: dict[Angle, np.ndarray[tuple[int], np.dtype[np.float64]]] = {"elbow": turn, "hip": 0 * turn}
    first, second = baseline._reps(time, angles, reps)
    assert first.status == second.status == "whole"
    assert first.values["lowering"].value == pytest.approx(0.9 * 3, abs=0.05)
    assert first.values["raising"].value == pytest.approx(0.9 * 1, abs=0.05)
    assert first.values["bottom_pause"].value == pytest.approx(1 + 0.05 * 4, abs=0.05)
    assert first.values["top_pause"].value == pytest.approx(1 + 0.05 * 4, abs=0.05)
    assert second.values["top_pause"].value is None
    assert first.values["bent.elbow"].value == pytest.approx(90)
    assert first.values["straight.elbow"].value == pytest.approx(10, abs=5)


def test_no_rep_in_small_movements() -> None:
    reps = load_movement("push-up").reps
    assert reps is not None
    time = np.arange(0, 13, 1 / 60)
    assert baseline._reps(time, {"elbow": 20 + 10 * np.sin(time)}, reps) == []
