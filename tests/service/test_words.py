import pytest

from models.quantity import Measured, Q, Unmeasured
from service.words import listed, number, numbers, quantity, reason, worst_check
from tests.by_hand import check


@pytest.mark.parametrize(
    ("q", "words"),
    [
        (Measured(value=2.136, U95=0.081, unit="s"), "2.14 ±0.08"),
        (Measured(value=-12.26, U95=1.44, unit="deg"), "-12.3 ±1.4"),
        (Measured(value=0.0021, U95=0.0001, unit="m/px"), "0.00210 ±0.00010"),
        (Measured(value=-0.01, U95=0.6, unit="deg"), "0.0 ±0.6"),
        (Unmeasured(reason="cut off"), "-"),
        (None, "-"),
    ],
)
def test_number(q: Q | None, words: str) -> None:
    assert number(q) == words


def test_a_quantity_without_a_value_gives_its_reason() -> None:
    assert quantity(Unmeasured(reason="cut off")) == "no value (cut off)"
    assert quantity(Measured(value=1, U95=0.5, unit="deg")) == "1.0 ±0.5 deg"


@pytest.mark.parametrize(("values", "words"), [([], ""), ([3], "3"), ([1, 2, 3, 5], "1-3, 5"), ([7, 1, 6], "1, 6-7")])
def test_numbers(values: list[int], words: str) -> None:
    assert numbers(values) == words


@pytest.mark.parametrize(("words", "text"), [(["a"], "a"), (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")])
def test_listed(words: list[str], text: str) -> None:
    assert listed(words) == text


def test_a_missed_check_is_worse_than_an_unsure_one_however_probable() -> None:
    missed, unsure = check("lowering", "missed", 0.04, "too short"), check("body", "unsure", 0.01, "near the limit")
    assert worst_check([unsure, missed]) is missed


def test_among_equals_the_least_probable_is_the_worst() -> None:
    near, far = check("lowering", "unsure", 0.6, ""), check("body", "unsure", 0.2, "")
    assert worst_check([near, far]) is far


def test_a_met_rep_needs_no_reason() -> None:
    assert reason([check("lowering", "met", 0.99, "long enough")]) == ""
    assert reason(None) == ""
