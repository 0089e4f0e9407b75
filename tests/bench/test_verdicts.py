"""Verdicts on limits laid around a true value: honest, blind and boastful measurements are told apart."""

from dataclasses import replace

import pytest

from tests.bench.made_up import angle, comparison
from tests.bench.verdicts import tallies, tally


def test_an_honest_measurement() -> None:
    honest = tally("", [angle(0.0, 1.0)])
    assert (honest.wrong, honest.unsure_past) == (0, 0)
    assert honest.kept


def test_a_missing_value_is_unsure_but_never_wrong() -> None:
    blind = tally("", [replace(angle(0, 1), value=None)])
    assert blind.wrong == 0
    assert blind.unsure_past == blind.past > 0
    assert not blind.kept


def test_a_boastful_measurement_is_wrong_beyond_what_it_states() -> None:
    boastful = tally("", [angle(10.0, 0.1)])
    assert boastful.wrong > 0
    assert boastful.wrong_beyond > 0
    assert not boastful.kept


def test_limits_are_laid_on_what_can_be_limited() -> None:
    found = {
        t.title: t.rulings for t in tallies([angle(0, 1), comparison("drift", 0, 1), comparison("standard.x", 0, 1)])
    }
    assert found["joint angles"] == found["standards"] == 20
    assert found["everything"] == 40


@pytest.mark.parametrize(("error", "wrong"), [(0.4, False), (3.0, True)])
def test_a_standard_is_judged_in_shares_of_a_quarter_of_height(error: float, wrong: bool) -> None:
    """Nearest limits lie 0.5 % of height from the truth."""
    assert bool(tally("", [comparison("standard.chin-over-bar", error, 0.01, truth=0.0)]).wrong) is wrong
