"""Clocks round stages: a stage's time is its own, not that of the stages it calls."""

import importlib
from collections.abc import Iterator

import pytest

from tests.bench import stages
from tests.bench.stages import CALLS, DECODING, Clocks


class Time:
    """A clock that only moves when it is told to."""

    now = 0.0

    def passes(self, seconds: float) -> None:
        self.now += seconds

    def perf_counter(self) -> float:
        return self.now


@pytest.fixture
def time(monkeypatch: pytest.MonkeyPatch) -> Time:
    clock = Time()
    monkeypatch.setattr(stages, "time", clock)
    return clock


def test_inner_stages_are_not_counted_twice(time: Time) -> None:
    clocks = Clocks()
    inner = clocks.around("inner", lambda: time.passes(4))

    def work() -> None:
        time.passes(1)
        inner()
        inner()

    clocks.around("outer", work)()
    assert clocks.own == {"inner": 8, "outer": 1}


def test_a_generator_takes_time_where_it_makes_frames(time: Time) -> None:
    clocks = Clocks()

    def frames() -> Iterator[int]:
        for i in range(3):
            time.passes(2)
            yield i

    for _ in clocks.around_frames(frames)():
        time.passes(10)
    assert clocks.own == {DECODING: 6}


def test_a_stage_that_fails_is_timed_too(time: Time) -> None:
    clocks = Clocks()

    def fails() -> None:
        time.passes(3)
        raise ValueError("told")

    with pytest.raises(ValueError, match="told"):
        clocks.around("fails", fails)()
    assert clocks.own == {"fails": 3}


@pytest.mark.parametrize(("module", "name"), [call[1:] for call in CALLS])
def test_every_stage_is_a_function_of_the_program(module: str, name: str) -> None:
    assert callable(getattr(importlib.import_module(module), name))
