import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.limit import Limit
from models.tempo import Tempo, hold_limit, lowering_limit, pause_limit, raising_limit

digits = st.one_of(
    st.just("X"), st.integers(0, 60).map(str), st.floats(0, 60).map(lambda s: f"{s:.1f}".removesuffix(".0"))
)


def test_places_stand_in_trade_order() -> None:
    # Ratamess et al. 2009 and later: eccentric, pause, concentric, pause, whatever comes first in time.
    tempo = Tempo.parse("5-1-2-0")
    assert tempo.asked() == {"lowering": 5, "bottom_pause": 1, "raising": 2, "top_pause": 0}


def test_limits_of_a_common_tempo() -> None:
    # Common practice, no source: 5-1-1-0 is five seconds down under control, a second at the bottom, up at once.
    assert Tempo.parse("5-1-1-0").limits() == {
        "lowering": Limit(low=4.5),
        "bottom_pause": Limit(low=0.7),
        "raising": Limit(high=2),
        "top_pause": Limit(high=0.6),
    }


# Common practice, no source: all of the figures in the next four tests.
@pytest.mark.parametrize(("digit", "low"), [(1, 0.5), (2, 1.5), (5, 4.5), (6, 5.4), (10, 9.0), (0.5, 0.0)])
def test_a_lowering_may_be_short_by_half_a_second_or_a_tenth(digit: float, low: float) -> None:
    assert lowering_limit(digit) == Limit(low=low)


@pytest.mark.parametrize(("digit", "high"), [(1, 2), (2, 3), (0.5, 1.5)])
def test_a_raising_may_take_a_second_more(digit: float, high: float) -> None:
    assert raising_limit(digit) == Limit(high=high)


@pytest.mark.parametrize(("digit", "limit"), [(0, Limit(high=0.6)), (2, Limit(low=1.7)), (3, Limit(low=2.7))])
def test_a_pause_may_be_short_by_three_tenths_and_none_may_take_six(digit: float, limit: Limit) -> None:
    assert pause_limit(digit) == limit


def test_a_hold_may_be_short_by_half_a_second() -> None:
    assert hold_limit(10) == Limit(low=9.5)


@pytest.mark.parametrize("text", ["3-0-X-1", "3-0-x-1", " 3 - 0 - X - 1 "])
def test_x_has_no_limit(text: str) -> None:
    tempo = Tempo.parse(text)
    assert tempo.raising == "X"
    assert list(tempo.limits()) == ["lowering", "bottom_pause", "top_pause"]


def test_one_place_is_a_lowering_alone() -> None:
    assert Tempo.parse("5").limits() == {"lowering": Limit(low=4.5)}


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("5-1-1", "3 places in '5-1-1', not four"),
        ("5-1-1-0-0", "5 places"),
        ("5-1-one-0", "'one' in '5-1-one-0' is neither a number of seconds nor X"),
        ("5--1-0", "'' in '5--1-0' is neither"),
        ("", "'' in '' is neither"),
        ("nan-1-1-0", "nan in 'nan-1-1-0' is out of range"),
        ("500-1-1-0", "500 in '500-1-1-0' is out of range; each place is 0 to 60 s or X"),
    ],
)
def test_what_is_no_tempo_is_refused(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Tempo.parse(text)


@given(st.lists(digits, min_size=4, max_size=4))
def test_a_tempo_is_written_as_it_is_read(places: list[str]) -> None:
    assert Tempo.parse(str(Tempo.parse("-".join(places)))) == Tempo.parse("-".join(places))
    assert str(Tempo.parse("-".join(places))) == "-".join(places)


@pytest.mark.parametrize(
    ("tempo", "reps", "seconds"),
    [
        # Sum of the places times the reps, textbook arithmetic: 3-1-2-0 for eight reps.
        ("3-1-2-0", 8, 48),
        # Wilk et al. 2018, J Hum Kinet, doi 10.2478/hukin-2018-0034: the slow tempo 6/0/4/0, five reps.
        ("6-0-4-0", 5, 50),
    ],
)
def test_time_under_tension_is_the_sum_of_the_places(tempo: str, reps: int, seconds: float) -> None:
    places = [digit for digit in Tempo.parse(tempo).asked().values() if not isinstance(digit, str)]
    assert reps * sum(places) == seconds
