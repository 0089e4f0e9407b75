"""Clocks round stages: a stage's time is its own, not that of the stages it calls."""

import importlib
import time
from collections.abc import Iterator

import pytest

from tests.bench.stages import CALLS, DECODING, Clocks


def test_inner_stages_are_not_counted_twice() -> None:
    clocks = Clocks()
    inner = clocks.around("inner", lambda: time.sleep(0.04))

    def work() -> None:
        time.sleep(0.02)
        inner()
        inner()

    clocks.around("outer", work)()
    assert clocks.own["inner"] == pytest.approx(0.08, abs=0.02)
    assert clocks.own["outer"] == pytest.approx(0.02, abs=0.015)


def test_a_generator_takes_time_where_it_makes_frames() -> None:
    clocks = Clocks()

    def frames() -> Iterator[int]:
        for i in range(3):
            time.sleep(0.02)
            yield i

    assert list(clocks.around_frames(frames)()) == [0, 1, 2]
    assert clocks.own[DECODING] == pytest.approx(0.06, abs=0.02)


@pytest.mark.parametrize(("module", "name"), [call[1:] for call in CALLS])
def test_every_stage_is_a_function_of_the_program(module: str, name: str) -> None:
    assert callable(getattr(importlib.import_module(module), name))
