import numpy as np
import pytest

from edgetest.stats.regression import LogContrast, fit_rate


def test_censored_counts_are_maximum_likelihood():
    from scipy.optimize import minimize_scalar
    from scipy.stats import poisson

    def loss(log_mean):
        mean = np.exp(log_mean)
        return -poisson.logpmf([20, 25, 18], mean).sum() - poisson.logsf(40, mean)

    best = minimize_scalar(loss, bounds=(2, 5), method="bounded", options={"xatol": 1e-10})
    fit = fit_rate(
        np.ones((4, 1)),
        [20, 25, 18, 40],
        np.ones(4),
        spread="poisson",
        unfinished=[False, False, False, True],
    )
    assert fit.params[0] == pytest.approx(best.x, abs=1e-6)
    step = 1e-3
    curve = (loss(best.x + step) + loss(best.x - step) - 2 * loss(best.x)) / step**2
    assert fit.cov[0, 0] == pytest.approx(1 / curve, rel=1e-4)


def test_interval_wider_than_all_numbers_has_an_open_end():
    """Pieces that nearly all still stood bound a rate from below alone."""
    told = LogContrast(2.0, 400.0, 5.0).factor("chops", 0.95, "test")
    assert told.value == pytest.approx(np.exp(2.0))
    assert told.low == 0
    assert told.high == np.inf
    assert told.to_dict()["high"] is None
