import numpy as np
import pytest
from numpy.typing import NDArray

from vision.propagate import propagate

Array = NDArray[np.float64]


def test_a_sum_of_independent_inputs_adds_their_squares() -> None:
    """JCGM 100:2008, equation 10: u^2 = sum (c_i u_i)^2; here c = 1, -2, 0.5."""
    value, u = propagate(lambda x: float(x @ [1, -2, 0.5]), np.array([4.0, 1.0, 2.0]), np.array([0.3, 0.2, 0.4]))
    assert value == pytest.approx(3)
    assert u == pytest.approx(np.sqrt(0.3**2 + 0.4**2 + 0.2**2))


def test_a_product_adds_relative_squares() -> None:
    """JCGM 100:2008, 5.1.6: (u/y)^2 = sum (p_i u_i / x_i)^2 for a product of powers."""
    value, u = propagate(
        lambda x: float(x[0] * x[1] ** 2 / x[2]), np.array([2.0, 3.0, 4.0]), np.array([0.02, 0.03, 0.0])
    )
    assert value == pytest.approx(4.5)
    assert u / value == pytest.approx(np.hypot(0.01, 2 * 0.01), rel=1e-3)


def test_what_is_known_exactly_adds_nothing() -> None:
    def touchy(x: Array) -> float:
        assert x[1] == 5.0
        return float(x[0])

    assert propagate(touchy, np.array([1.0, 5.0]), np.array([0.1, 0.0])) == pytest.approx((1.0, 0.1))
    assert propagate(lambda x: float(x.sum()), np.array([1.0, 2.0]), np.zeros(2)) == (3.0, 0.0)


def test_it_agrees_with_a_monte_carlo_of_a_bent_function() -> None:
    def length(x: Array) -> float:
        return float(np.hypot(x[0] - x[2], x[1] - x[3]))

    value, u = np.array([0.0, 0.0, 3.0, 4.0]), np.array([0.1, 0.2, 0.1, 0.05])
    draws = np.random.default_rng(1).normal(value, u, (20000, 4))
    assert propagate(length, value, u).u == pytest.approx(np.std([length(x) for x in draws]), rel=0.03)
