"""What a part earns: known errors with it and without it."""

from tests.bench.compare import Result
from tests.bench.earned import COUNTS, summed_up
from tests.bench.made_up import result


def clips(size: float, counted: int = 12) -> list[Result]:
    return [result(f"{i:02d}", size=size, counted=i < counted) for i in range(12)]


def test_a_part_that_halves_the_errors_earns() -> None:
    row = summed_up("flow", "", clips(1.0), clips(2.0))
    assert row.verdict == "earns"
    assert {round(change.ratio or 0, 6) for change in row.changes if change.group != COUNTS} == {2.0}


def test_a_part_that_changes_nothing_shows_nothing() -> None:
    assert summed_up("flow", "", clips(1.0), clips(1.0)).verdict == "nothing shows"
    assert summed_up("flow", "", clips(1.0), clips(1.005)).verdict == "nothing shows"


def test_a_part_that_makes_it_worse_costs() -> None:
    assert summed_up("flow", "", clips(2.0), clips(1.0)).verdict == "costs"


def test_counting_is_earned_too() -> None:
    row = summed_up("flow", "", clips(1.0), clips(1.0, counted=3))
    assert row.counted == 3
    assert row.verdict == "earns"
