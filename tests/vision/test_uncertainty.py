import numpy as np
import pytest

from models.movements.movement import Angle, Line
from models.quantity import Measured, Unit, Unmeasured
from vision.uncertainty import angle_bias, quantity, stated

LINES: tuple[Angle, ...] = ("body", "lean", "trunk", "legs")
JOINTS: tuple[Angle, ...] = ("shoulder", "elbow", "hip", "knee")
BENT = np.array([0.0, 45.0, 120.0])


def test_parts_add_in_squares_and_widen_to_95_percent() -> None:
    """JCGM 100, 5.1.2 and 6.2: root sum of squares, times 1.96."""
    found = quantity(12, "deg", 0.3, 0.4)
    assert (found.value, found.unit) == (12, "deg")
    assert found.u == pytest.approx(0.5)
    assert found.U95 / found.u == pytest.approx(1.96)


def test_a_value_without_any_doubt_has_none() -> None:
    assert quantity(5, "s").U95 == 0


def test_the_standard_uncertainty_comes_back() -> None:
    assert quantity(-1, "mm", 2.0).u == pytest.approx(2.0)


@pytest.mark.parametrize("line", ["ankles-shoulders", "knees-shoulders", "hips-shoulders"])
def test_judgement_never_claims_more_than_the_design_allows(line: Line) -> None:
    for name in LINES:
        assert (angle_bias(name, line, BENT) >= 0.7).all()
    for name in JOINTS:
        assert (angle_bias(name, line, BENT) >= 3.0).all()


def test_a_bent_elbow_is_known_less_well_than_a_straight_one() -> None:
    flaring: tuple[Angle, ...] = ("elbow", "shoulder")
    for name in flaring:
        assert (np.diff(angle_bias(name, "ankles-shoulders", BENT)) > 0).all()
    others: tuple[Angle, ...] = ("hip", "knee", "body")
    for name in others:
        assert np.ptp(angle_bias(name, "ankles-shoulders", BENT)) == 0


def test_a_line_that_ends_at_the_hip_is_known_less_well() -> None:
    assert angle_bias("body", "hips-shoulders", BENT)[0] > angle_bias("body", "ankles-shoulders", BENT)[0]
    assert angle_bias("trunk", "ankles-shoulders", BENT)[0] > angle_bias("body", "ankles-shoulders", BENT)[0]


@pytest.mark.parametrize(
    ("value", "unit", "useful"), [(90.0, "deg", 45.0), (200.0, "deg", 50.0), (3.0, "s", 1.5), (20.0, "s", 5.0)]
)
def test_a_value_whose_uncertainty_is_of_no_use_is_not_stated(value: float, unit: Unit, useful: float) -> None:
    assert isinstance(stated(value, unit, 0.99 * useful / 1.96), Measured)
    assert isinstance(stated(value, unit, 1.01 * useful / 1.96), Unmeasured)
