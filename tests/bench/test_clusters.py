"""Intervals by resampling clips, against SciPy's bootstrap where each clip has one value."""

import numpy as np
import pytest
from scipy.stats import bootstrap

from tests.bench import clusters


def test_with_one_value_a_clip_it_is_the_plain_bootstrap() -> None:
    values = np.random.default_rng(1).normal(10, 2, 40)
    found = clusters.interval(values, np.ones(40), [str(i) for i in range(40)])
    known = bootstrap((values,), np.mean, method="percentile", n_resamples=20_000, rng=np.random.default_rng(2))
    assert found == pytest.approx(tuple(known.confidence_interval), abs=0.06)


def test_values_of_one_clip_count_as_one_draw() -> None:
    """Copies of each clip's value tell nothing new: the interval stays."""
    values = np.random.default_rng(1).normal(10, 2, 20)
    clips = [str(i) for i in range(20)]
    once = clusters.interval(values, np.ones(20), clips)
    often = clusters.interval(np.repeat(values, 9), np.ones(180), [clip for clip in clips for _ in range(9)])
    assert once == pytest.approx(often)


def test_one_clip_tells_no_interval() -> None:
    assert clusters.interval([1.0, 2.0], [1.0, 1.0], ["a", "a"]) is None
    assert clusters.interval([], [], []) is None
