from dataclasses import dataclass

import numpy as np
import pytest
from scipy.stats import linregress

from models.document import Rep, Status, Trend
from models.movements import load_movement
from models.quantity import Measured, Unmeasured
from tests.by_hand import plank, posture, q, rep
from vision.summary import NEW_SET, split, summarise

PUSH_UP = load_movement("push-up")


@dataclass(frozen=True)
class Span:
    start: float
    end: float


def spans(*pairs: tuple[float, float]) -> list[Span]:
    return [Span(*pair) for pair in pairs]


def measured(n: int, lowering: float, *, status: Status = "whole", bent: float = 96.0) -> Rep:
    """A rep that begins at 6 n seconds; 0.5 s at the bottom, 1 s up."""
    return rep(n, 6.0 * n, lowering).model_copy(update={"status": status, "bent": posture(bent, 6.0)})


def slope(trend: Trend) -> Measured:
    assert isinstance(trend.slope, Measured)
    return trend.slope


@pytest.mark.parametrize(("rest", "sets"), [(9.9, 1), (10.1, 2)])
def test_ten_seconds_without_a_rep_start_a_new_set(rest: float, sets: int) -> None:
    found = split(spans((0, 3), (4, 7), (7 + rest, 20 + rest)))
    assert len(found) == sets
    assert [span for part in found for span in part] == spans((0, 3), (4, 7), (7 + rest, 20 + rest))


def test_the_rest_is_counted_from_the_last_end_not_from_the_last_start() -> None:
    assert len(split(spans((0, 30), (35, 60)))) == 1
    assert NEW_SET == 10


def test_nothing_makes_no_set() -> None:
    assert split([]) == []


def test_counts_by_status() -> None:
    statuses: list[Status] = ["whole", "whole", "short", "failed", "cut_off", "whole"]
    found = summarise(PUSH_UP, [measured(n, 2, status=status) for n, status in enumerate(statuses)], [])
    assert (found.whole, found.short, found.failed, found.cut_off) == (3, 1, 1, 1)


def test_slope_and_its_standard_error_are_those_of_scipy() -> None:
    lowering = [3.1, 2.9, 3.0, 2.4, 2.2, 2.3]
    found = summarise(PUSH_UP, [measured(n, d) for n, d in enumerate(lowering, 1)], []).lowering
    expected = linregress(np.arange(1, 7), lowering)
    assert found.by_rep == pytest.approx(tuple(lowering))
    assert slope(found).value == pytest.approx(expected.slope)
    assert slope(found).u == pytest.approx(expected.stderr)
    assert slope(found).unit == "s"


def test_a_rep_without_a_value_keeps_its_place_in_the_slope() -> None:
    reps = [measured(n, d) for n, d in enumerate([3.0, 2.8, 2.7, 2.1, 2.0], 1)]
    reps[2] = reps[2].model_copy(update={"lowering": None})
    found = summarise(PUSH_UP, reps, []).lowering
    assert found.by_rep[2] is None
    expected = linregress([1, 2, 4, 5], [3.0, 2.8, 2.1, 2.0])
    assert slope(found).value == pytest.approx(expected.slope)
    assert slope(found).u == pytest.approx(expected.stderr)


def test_two_reps_make_no_slope() -> None:
    found = summarise(PUSH_UP, [measured(1, 3), measured(2, 2)], [])
    assert found.lowering.by_rep == (3, 2)
    assert isinstance(found.lowering.slope, Unmeasured)


def test_range_is_that_of_the_driving_angle_and_gives_the_raising_speed() -> None:
    bent = [96.0, 90.0, 84.0]
    found = summarise(PUSH_UP, [measured(n, 2, bent=b) for n, b in enumerate(bent, 1)], [])
    assert found.range.by_rep == pytest.approx((91, 85, 79))  # the straight end is 5 degrees
    assert slope(found.range).value == pytest.approx(-6)
    assert slope(found.range).unit == "deg"
    assert found.raising_speed.by_rep == pytest.approx((91, 85, 79))  # raised in 1 s
    assert slope(found.raising_speed).unit == "deg/s"


def test_an_end_that_was_not_measured_gives_no_range() -> None:
    hidden = posture(96, 6).model_copy(update={"elbow": Unmeasured(reason="hidden")})
    reps = [measured(n, 2) for n in (1, 2, 3)]
    reps[1] = reps[1].model_copy(update={"bent": hidden})
    found = summarise(PUSH_UP, reps, [])
    assert found.range.by_rep[1] is None
    assert found.raising_speed.by_rep[1] is None


def test_the_longest_rest_between_reps() -> None:
    found = summarise(PUSH_UP, [measured(1, 2.0), measured(2, 3.0), measured(3, 1.0)], [])
    assert isinstance(found.longest_rest, Measured)
    assert found.longest_rest.value == pytest.approx(12 - (6 + 2 + 1.5))


def test_a_single_rep_has_no_rest_inside_its_set() -> None:
    assert isinstance(summarise(PUSH_UP, [measured(1, 2.0)], []).longest_rest, Unmeasured)


def test_holds_have_rests_too() -> None:
    first = plank().sets[0].holds[0]
    second = first.model_copy(update={"n": 2, "start": 14.0, "end": 20.0, "still": q(6, 0.1, "s")})
    found = summarise(load_movement("planche"), [], [first, second])
    assert isinstance(found.longest_rest, Measured)
    assert found.longest_rest.value == pytest.approx(3.0)
    assert found.whole == 0
    assert found.range.by_rep == ()
