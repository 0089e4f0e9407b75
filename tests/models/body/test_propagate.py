"""First-order propagation against what is known by hand (JCGM 100:2008, 5.1.2)."""

from math import hypot

import numpy as np
import pytest

from models.body.propagate import Named, propagate


def both(values: Named) -> Named:
    a, b = values["a"], values["b"]
    return {"sum": a + b, "weighted": 3 * a - 2 * b, "product": a * b}


def test_a_sum_adds_in_squares() -> None:
    u = propagate(both, {"a": 10.0, "b": 5.0}, {"a": 0.3, "b": 0.4})
    assert u["sum"] == pytest.approx(0.5)
    assert u["weighted"] == pytest.approx(hypot(0.9, 0.8))


def test_relative_uncertainties_of_a_product_add_in_squares() -> None:
    u = propagate(both, {"a": 10.0, "b": 5.0}, {"a": 0.1, "b": 0.05})
    assert u["product"] / 50 == pytest.approx(hypot(0.01, 0.01))


def test_what_is_shared_cancels_in_a_ratio() -> None:
    u = propagate(lambda v: {"ratio": (2 * v["a"]) / v["a"]}, {"a": 10.0}, {"a": 1.0})
    assert u["ratio"] == pytest.approx(0)


def test_only_what_is_in_doubt_counts() -> None:
    assert propagate(both, {"a": 1.0, "b": 2.0}, {"a": 0.0, "b": 0.1})["sum"] == pytest.approx(0.1)
    assert set(propagate(both, {"a": 1.0, "b": 2.0}, {}).values()) == {0.0}


def test_it_agrees_with_a_simulation() -> None:
    """Monte Carlo (JCGM 101), 40 000 draws: within 3 %."""
    rng = np.random.default_rng(7)
    angle, length = rng.normal(0.6, 0.05, 40_000), rng.normal(2.0, 0.1, 40_000)
    u = propagate(
        lambda v: {"x": v["length"] * float(np.cos(v["angle"]))},
        {"angle": 0.6, "length": 2.0},
        {"angle": 0.05, "length": 0.1},
    )
    assert u["x"] == pytest.approx(float(np.std(length * np.cos(angle))), rel=0.03)


def test_at_the_top_of_a_hill_the_second_order_is_told() -> None:
    """A cosine at 0: the slope is nothing. Its variance is u^4 / 2, from the fourth moment of a normal distribution."""
    u = propagate(lambda v: {"y": float(np.cos(v["x"]))}, {"x": 0.0}, {"x": 0.05})
    assert u["y"] == pytest.approx(0.05**2 / np.sqrt(2), rel=0.001)
    draws = np.cos(np.random.default_rng(3).normal(0.0, 0.05, 40_000))
    assert u["y"] == pytest.approx(float(np.std(draws)), rel=0.03)
