from math import sqrt

import pytest

from models.agreement import Pair, agreement

SKIN = [[10, 4, 1, 0], [5, 10, 12, 2], [2, 4, 12, 5], [0, 2, 6, 13]]
"""Two dermatologists, 88 patients: SAS/STAT user's guide, The FREQ procedure, example of an agreement study. The table is
copied from there; its kappa of 0.3449 with a standard error of 0.0724 is from memory."""
DIAGNOSES = [[75, 1, 4], [5, 4, 1], [0, 0, 10]]
"""100 diagnoses: Fleiss, Statistical methods for rates and proportions, table 13.1; kappa 0.68, standard error 0.087 (from
memory)."""


def _pairs(table: list[list[int]], chance: float = 1.0) -> list[Pair]:
    return [Pair(i, j, chance) for i, row in enumerate(table) for j, count in enumerate(row) for _ in range(count)]


@pytest.mark.parametrize(
    ("table", "kappa", "error", "within"), [(SKIN, 0.3449, 0.0724, 5e-5), (DIAGNOSES, 0.676, 0.0877, 5e-4)]
)
def test_published_examples(table: list[list[int]], kappa: float, error: float, within: float) -> None:
    found = agreement(_pairs(table))
    assert found.kappa == pytest.approx(kappa, abs=within)
    assert found.standard_error is not None
    assert found.standard_error * sqrt((found.n - 1) / found.n) == pytest.approx(error, abs=within)


def test_a_case_drawn_one_time_in_two_counts_twice() -> None:
    halved = [Pair("met", "met", 0.5)] * 10 + [Pair("met", "missed")] * 3 + [Pair("missed", "missed")] * 7
    whole = [Pair("met", "met")] * 20 + [Pair("met", "missed")] * 3 + [Pair("missed", "missed")] * 7
    assert agreement(halved).kappa == pytest.approx(agreement(whole).kappa)
    assert agreement(halved).share == pytest.approx(27 / 30)
    narrow, wide = agreement(whole).standard_error, agreement(halved).standard_error
    assert narrow is not None
    assert wide is not None
    assert wide > narrow  # fewer were seen


def test_weights_that_are_all_alike_change_nothing() -> None:
    assert agreement(_pairs(SKIN, 0.05)).standard_error == pytest.approx(agreement(_pairs(SKIN)).standard_error)


def test_where_chance_explains_everything_there_is_no_kappa() -> None:
    always = agreement([Pair("met", "met")] * 5 + [Pair("met", "missed")])
    assert (always.kappa, always.interval) == (None, None)
    assert always.share == pytest.approx(5 / 6)
    assert agreement([]).share is None


def test_a_chance_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="chance"):
        agreement([Pair("met", "met", 0)])
