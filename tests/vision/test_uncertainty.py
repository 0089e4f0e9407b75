import pytest

from vision.uncertainty import JOINT_BIAS, LINE_BIAS, quantity


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


def test_what_judgement_adds_is_what_the_design_says() -> None:
    assert (LINE_BIAS, JOINT_BIAS) == (0.7, 3.0)
