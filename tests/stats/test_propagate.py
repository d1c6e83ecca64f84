"""Uncertainty carried through a formula: closed forms of the GUM, and its draws."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.stats.propagate import Input, draw_inputs, interval, linear_u

DRAWS = 200_000


def test_linear_propagation_adds_the_squares_of_slope_times_uncertainty():
    """GUM 5.1.2: of a product x y both relative parts, of a sum the plain ones."""
    inputs = {"x": Input(3.0, 0.1), "y": Input(4.0, 0.2), "z": Input(7.0)}
    assert linear_u(lambda x, y, z: x * y + z, inputs) == pytest.approx(np.hypot(0.4, 0.6))
    assert linear_u(lambda x, y, z: 2 * x - y, inputs) == pytest.approx(np.hypot(0.2, 0.2))
    both = linear_u(lambda x, y, z: np.array([x, y * z]), inputs)
    assert_allclose(both, [0.1, 1.4])
    assert linear_u(lambda x, y, z: z, inputs) == 0.0


def test_draws_have_the_spread_that_is_stated():
    drawn = draw_inputs(
        {"n": Input(5.0, 0.5), "t": Input(-2.0, 0.5, df=4), "known": Input(1.5)},
        np.random.default_rng(1),
        DRAWS,
    )
    assert_allclose([drawn["n"].mean(), drawn["n"].std()], [5.0, 0.5], atol=0.01)
    # Student's t with 4 degrees of freedom: variance 4 / (4 - 2) times the scale squared.
    assert_allclose([drawn["t"].mean(), drawn["t"].std()], [-2.0, 0.5 * 2**0.5], atol=0.02)
    assert_allclose(np.quantile(drawn["t"], 0.975), -2.0 + 0.5 * 2.776, atol=0.05)
    assert drawn["known"].tolist() == [1.5] * DRAWS


def test_the_interval_leaves_equal_shares_on_both_sides():
    found = interval(np.arange(101.0), 40.0, "mm", level=0.9)
    assert (found.value, found.low, found.high) == pytest.approx((40.0, 5.0, 95.0))
    assert (found.unit, found.level, found.method) == ("mm", 0.9, "Monte Carlo")
    assert interval(np.arange(1001.0), 40.0, "mm").low == pytest.approx(25.0)
    few = interval(np.arange(101.0), 40.0, "mm", level=0.4)
    assert (few.low, few.high) == pytest.approx((30.0, 70.0))


@pytest.mark.parametrize("one", [Input(np.nan, 1.0), Input(1.0, -0.1), Input(1.0, np.inf)])
def test_what_is_no_measured_quantity_is_named(one):
    with pytest.raises(UnusableInput, match="an uncertainty of zero or more"):
        draw_inputs({"mass": one}, np.random.default_rng(1), 3)
