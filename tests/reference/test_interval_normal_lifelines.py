"""The interval-censored normal against lifelines (a log-normal on exponentiated bounds)."""

import numpy as np
import pytest

from edgetest.steel.hardness_interval import interval_normal

lifelines = pytest.importorskip("lifelines")


def readings(seed, n):
    """Invented hardness readings, a third of them only as a bracket of 5 HRC files."""
    rng = np.random.default_rng(seed)
    truth = rng.normal(58, 2.5, n)
    lower, upper = truth.copy(), truth.copy()
    bracket = rng.random(n) < 0.4
    lower[bracket] = 5 * np.floor(truth[bracket] / 5)
    upper[bracket] = lower[bracket] + 5
    skates = truth > 60
    lower[skates], upper[skates] = 60, np.inf
    return lower, upper


@pytest.mark.filterwarnings("ignore::Warning:lifelines")
@pytest.mark.parametrize(("seed", "n"), [(1, 12), (2, 30), (3, 100)])
def test_same_maximum_and_standard_errors(seed, n):
    lower, upper = readings(seed, n)
    ours = interval_normal(lower, upper)
    # log-normal of exp(value - 58): its mu_ and sigma_ are the mean and sd of the values.
    theirs = lifelines.LogNormalFitter().fit_interval_censoring(
        np.exp(lower - 58), np.exp(upper - 58)
    )
    assert ours.mean == pytest.approx(theirs.mu_ + 58, abs=1e-3)
    assert ours.sd == pytest.approx(theirs.sigma_, abs=1e-3)
    errors = theirs.summary["se(coef)"]
    assert ours.stderr[0] == pytest.approx(errors["mu_"], rel=5e-3)
    assert ours.stderr[1] == pytest.approx(errors["sigma_"] / theirs.sigma_, rel=5e-3)
