from itertools import pairwise
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate
from scipy.stats import gamma

from models.conformity import Doubt, combine, doubt, is_too_fine, mean
from models.document import VerdictWord
from models.limit import Limit
from models.quantity import Measured

ORDER: list[VerdictWord] = ["missed", "unsure", "met"]
finite = st.floats(-1e3, 1e3)
spread = st.floats(1e-3, 1e2)


def known(value: float, u: float) -> Measured:
    """A value with its standard uncertainty; the unit plays no part in the arithmetic."""
    return Measured(value=value, U95=1.96 * u, unit="s")


# JCGM 106:2012, examples of single items. The inputs are from memory, the arithmetic was computed anew.
@pytest.mark.parametrize(
    ("value", "u", "limit", "p"),
    [
        pytest.param(-5.47, 0.05, Limit(high=-5.40), 0.9192, id="breakdown voltage of a Zener diode, V"),
        pytest.param(509.7, 8.6, Limit(low=490), 0.9890, id="bursting pressure of a container, kPa"),
        pytest.param(13.6, 1.8, Limit(low=12.5, high=16.3), 0.6626, id="viscosity of an oil, mm2/s"),
    ],
)
def test_probability_of_conformity_of_single_items(value: float, u: float, limit: Limit, p: float) -> None:
    assert doubt(known(value, u), limit).p == pytest.approx(p, abs=6e-5)


# JCGM 106:2012, table 1: the guard band w = z u for a required probability.
@pytest.mark.parametrize(("p", "z"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)])
def test_guard_bands_for_a_required_probability(p: float, z: float) -> None:
    density_at_z = 0.3  # at most; z is printed to two digits
    assert doubt(known(10 - z, 1), Limit(high=10)).p == pytest.approx(p, abs=0.005 * density_at_z)


# ILAC-G8:09/2019, the table of guard bands w = r U with U = 2 u: probability of false acceptance at the limit.
@pytest.mark.parametrize(("r", "risk"), [(0, 0.5), (0.83, 0.0485), (1, 0.0228), (1.5, 0.00135), (3, 9.9e-10)])
def test_risk_left_by_a_guard_band(r: float, risk: float) -> None:
    assert doubt(known(10 - 2 * r, 1), Limit(high=10)).above == pytest.approx(risk, rel=0.01)


def test_global_risks_of_the_ball_bearings() -> None:
    # JCGM 106:2012, 9.5.4: motion error of ball bearings, gamma prior (shape 4, rate 4), limit 2 um, u = 0.25 um.
    prior, u, limit = gamma(4, scale=1 / 4), 0.25, 2.0

    def accepted(true: float, guarded: float) -> float:
        return doubt(known(true, u), Limit(high=guarded)).p  # symmetric: the reading's chance to fall below `guarded`

    def consumer(guarded: float) -> float:
        return float(integrate.quad(lambda x: prior.pdf(x) * accepted(x, guarded), limit, 8)[0])

    def producer(guarded: float) -> float:
        return float(integrate.quad(lambda x: prior.pdf(x) * (1 - accepted(x, guarded)), 0, limit, points=[1.5])[0])

    assert prior.sf(limit) == pytest.approx(0.0423801, abs=1e-7)
    assert consumer(limit) == pytest.approx(0.0080191, abs=1e-7)
    assert consumer(1.6718288) == pytest.approx(0.001, abs=1e-8)
    # Not printed there; derived from the same inputs.
    assert producer(limit) == pytest.approx(0.0174446, abs=1e-7)
    assert producer(1.6718288) == pytest.approx(0.0754939, abs=1e-7)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [(4.5 - 1.65, "missed"), (4.5 - 1.64, "unsure"), (4.5, "unsure"), (4.5 + 1.64, "unsure"), (4.5 + 1.65, "met")],
)
def test_one_limit_is_decided_at_95_percent(value: float, verdict: VerdictWord) -> None:
    assert doubt(known(value, 1), Limit(low=4.5)).verdict == verdict


def test_two_limits_are_met_only_if_both_are_respected() -> None:
    # 1.7 u from either end: each limit alone would be met (0.955), both together are not (0.911).
    assert doubt(known(1.7, 1), Limit(low=0)).verdict == "met"
    assert doubt(known(1.7, 1), Limit(low=0, high=3.4)).verdict == "unsure"


def test_two_limits_are_missed_only_if_one_of_them_is_passed() -> None:
    # A value known so coarsely that it is hardly ever inside (p = 0.04) need not be outside on any one side.
    coarse = doubt(known(0.5, 10), Limit(low=0, high=1))
    assert coarse.p < 0.05
    assert coarse.verdict == "unsure"
    assert doubt(known(30, 10), Limit(low=0, high=1)).verdict == "missed"


@pytest.mark.parametrize(("width", "fine"), [(3.99, True), (4.01, False)])
def test_a_band_narrower_than_four_u_is_too_fine(width: float, fine: bool) -> None:
    assert is_too_fine(known(0, 1), Limit(low=0, high=width)) is fine


def test_one_limit_is_never_too_fine() -> None:
    assert not is_too_fine(known(0, 100), Limit(low=0))


def test_an_exact_value_is_met_up_to_and_on_the_limit() -> None:
    assert [doubt(known(v, 0), Limit(low=1, high=2)).p for v in (0.99, 1, 2, 2.01)] == [0, 1, 1, 0]


def test_the_smallest_uncertainty_divides_nothing_by_zero() -> None:
    assert doubt(Measured(value=2, U95=5e-324, unit="s"), Limit(low=1)).p == 1


@given(finite, spread, finite)
def test_probability_and_its_complement_sum_to_one(value: float, u: float, limit: float) -> None:
    respected, passed = doubt(known(value, u), Limit(low=limit)), doubt(known(value, u), Limit(high=limit))
    assert respected.p + passed.p == pytest.approx(1)


@given(st.lists(finite, min_size=2, max_size=20), spread, finite)
def test_more_of_a_value_never_turns_a_lower_limit_backwards(values: list[float], u: float, limit: float) -> None:
    doubts = [doubt(known(value, u), Limit(low=limit)) for value in sorted(values)]
    assert all(less.p <= more.p for less, more in pairwise(doubts))
    assert all(ORDER.index(less.verdict) <= ORDER.index(more.verdict) for less, more in pairwise(doubts))


@given(finite, spread, st.lists(finite, min_size=2, max_size=20))
def test_a_looser_upper_limit_never_turns_a_verdict_backwards(value: float, u: float, limits: list[float]) -> None:
    doubts = [doubt(known(value, u), Limit(high=limit)) for limit in sorted(limits)]
    assert all(ORDER.index(tight.verdict) <= ORDER.index(loose.verdict) for tight, loose in pairwise(doubts))


@given(finite, spread, finite, st.floats(0.1, 100), st.floats(0, 100), st.floats(0, 100))
def test_a_wider_band_is_never_less_probable(
    value: float, u: float, low: float, width: float, below: float, above: float
) -> None:
    inner, outer = Limit(low=low, high=low + width), Limit(low=low - below, high=low + width + above)
    assert doubt(known(value, u), inner).p <= doubt(known(value, u), outer).p + 1e-12


@given(finite, finite, st.floats(0.1, 100), st.lists(spread, min_size=2, max_size=10))
def test_more_uncertainty_never_turns_met_into_missed_or_back(
    value: float, low: float, width: float, spreads: list[float]
) -> None:
    verdicts = {doubt(known(value, u), Limit(low=low, high=low + width)).verdict for u in spreads}
    assert not {"met", "missed"} <= verdicts


def test_the_mean_doubt_is_that_of_equally_probable_cases() -> None:
    both = mean([Doubt(0, 0), Doubt(1, 0), Doubt(0, 1), Doubt(0, 0)])
    assert (both.below, both.above, both.p) == (0.25, 0.25, 0.5)


@pytest.mark.parametrize(
    ("rulings", "verdict"),
    [
        ([], "met"),
        ([(0.95, "met")], "met"),
        ([(0.98, "met"), (0.97, "met")], "met"),
        ([(0.96, "met"), (0.96, "met")], "unsure"),
        ([(0.99, "met"), (0.5, "unsure")], "unsure"),
        ([(0.99, "met"), (None, "unsure")], "unsure"),
        ([(0.5, "unsure"), (0.01, "missed")], "missed"),
        ([(None, "missed"), (0.99, "met")], "missed"),
    ],
)
def test_checks_combine(rulings: list[tuple[float | None, VerdictWord]], verdict: VerdictWord) -> None:
    assert combine(rulings) == verdict


@given(st.lists(st.tuples(st.floats(0.951, 1), st.just("met")), max_size=6), st.floats(0.0, 1.0))
def test_a_further_check_never_improves_a_verdict(rulings: list[tuple[float | None, VerdictWord]], p: float) -> None:
    word: VerdictWord = "met" if p >= 0.95 else "missed" if p <= 0.05 else "unsure"
    assert ORDER.index(combine([*rulings, (p, word)])) <= ORDER.index(combine(rulings))


def test_infinite_uncertainty_is_refused() -> None:
    with pytest.raises(ValueError, match="finite"):
        Measured(value=1, U95=inf, unit="s")
