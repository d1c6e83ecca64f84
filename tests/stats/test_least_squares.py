"""The least-squares core: closed forms, many problems at once."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.stats.least_squares import minimise
from tests.stats.one_curve import fit_curve


def test_straight_line_has_the_textbook_errors():
    x = np.array([0.0, 1, 2, 3, 4])
    y = np.array([1.1, 2.9, 5.2, 6.8, 9.1])
    fit = fit_curve(lambda x, a, b: a + b * x, x, y, start=(0, 0))
    slope, intercept = np.polyfit(x, y, 1)
    assert_allclose(fit.params, [intercept, slope], rtol=1e-10)
    s = np.sqrt(((y - intercept - slope * x) ** 2).sum() / 3)
    assert_allclose(fit.stderr, [s * np.sqrt(1 / 5 + 4 / 10), s / np.sqrt(10)], rtol=1e-9)
    assert fit.df == 3
    assert fit.residual_sd == pytest.approx(s, rel=1e-9)


def test_many_problems_end_where_each_alone_ends():
    rng = np.random.default_rng(3)
    x = np.linspace(0, 4, 12)
    rates = np.array([0.3, 0.8, 1.7, 2.5])
    y = 5 * np.exp(-rates[:, None] * x) + 0.01 * rng.standard_normal((4, 12))

    def evaluate(params, which):
        curve = params[:, :1] * np.exp(-params[:, 1:] * x)
        jac = np.stack([curve / params[:, :1], -x * curve], axis=2)
        return curve - y[which], jac

    together = minimise(evaluate, np.tile([1.0, 1.0], (4, 1)))
    assert together.converged.all()
    for i in range(4):
        alone = fit_curve(lambda x, a, b: a * np.exp(-b * x), x, y[i], start=(1, 1))
        assert_allclose(together.params[i], alone.params, rtol=1e-7)


def test_exact_readings_are_met_exactly():
    x = np.arange(1.0, 7)
    fit = fit_curve(lambda x, a, b: a * x**b, x, 3 * x**0.5, start=(1, 1))
    assert_allclose(fit.params, [3, 0.5], rtol=1e-12)
