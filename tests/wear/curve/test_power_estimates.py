"""Powers by heat treatment, their mean and their doubts, where the fit is given?"""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.wear.curve.law_lives import LifeLimits, df_with_power, exp_or_inf
from edgetest.wear.curve.power_estimates import against_power, power_estimates, power_root


def fit(log_power, cov, *, common_var=0.04, set_=False):
    log_power, cov = np.array(log_power, float), np.array(cov, float)
    powers = SimpleNamespace(cov=cov, common=0.1, common_var=common_var)
    return SimpleNamespace(
        log_power=log_power, power_set=set_, prior_mean=np.log(2.0), powers=powers, power_cov=cov,
        power_var=np.diag(cov),
    )  # fmt: skip


def quantile(var, spare, level=0.95):
    """Of a variance that the readings know all but var / 0.25 of: one more degree for each."""
    df = (spare - 1) / max(1 - var / 0.25, 1e-3) ** 2
    return student.ppf(0.5 + level / 2, df)


def test_no_power_no_estimate_and_a_set_one_is_sure():
    assert power_estimates(SimpleNamespace(log_power=None), ["A"], 0.95, 3) == ({}, None, ())
    powers, common, doubts = power_estimates(fit([np.log(2)], [[0.0]], set_=True), "AB", 0.95, 3)
    assert [(p.value, p.low, p.high) for p in powers.values()] == [(pytest.approx(2.0),) * 3] * 2
    assert common.method == "set by hand"
    assert doubts == ()


def test_one_heat_treatment_s_power_is_the_common_one():
    powers, common, doubts = power_estimates(fit([np.log(1.5)], [[0.01]]), ["A"], 0.95, 8)
    assert powers["A"] == common
    assert common.value == pytest.approx(1.5)
    half = quantile(0.01, 8) * 0.1
    assert_allclose(np.log([common.low, common.high]), np.log(1.5) + half * np.array([-1, 1]))
    assert doubts == ()


def test_of_several_the_mean_has_its_own():
    found = fit([0.6, 0.8], [[0.01, 0], [0, 0.02]], common_var=0.04)
    powers, common, _ = power_estimates(found, ["A", "B"], 0.8, 8)
    assert common.value == pytest.approx(2.0 * np.exp(0.1))
    assert np.log(common.high / common.value) == pytest.approx(quantile(0.04, 8, 0.8) * 0.2)
    assert np.log(powers["B"].high / powers["B"].value) == pytest.approx(
        quantile(0.02, 8, 0.8) * 0.02**0.5
    )


@pytest.mark.parametrize(("apart", "named"), [(0.99, False), (1.01, True)])
def test_powers_that_differ_beyond_chance_are_named(apart, named):
    """A variance of the difference of 0.01 + 0.01 - 2 * 0.004."""
    far = apart * quantile(0.01, 8) * 0.012**0.5
    found = fit([0.5, 0.5 + far, 0.5 + far / 2], 0.006 * np.eye(3) + 0.004)
    _, _, doubts = power_estimates(found, list("ABC"), 0.95, 8)
    assert [one.code for one in doubts] == (["shapes_differ"] if named else [])
    if named:
        assert "A: " in doubts[0].text
        assert "B: " in doubts[0].text
        ends = [np.exp(far * (1 + sign / apart)) for sign in (-1, 1)]
        told = " times, {:.3g} to {:.3g} by its 95 % interval; the furthest apart of 3 pairs"
        assert told.format(*ends) in doubts[0].text


@pytest.mark.parametrize(("share", "told"), [(0.70, False), (0.76, True)])
def test_a_power_that_stays_as_wide_as_its_prior_is_not_known(share, told):
    """From three quarters of the prior's own interval on."""
    spare = 500  # so that quantiles hardly differ
    found = fit([0.7], [[(share * 0.5) ** 2]])
    _, _, doubts = power_estimates(found, ["A"], 0.95, spare)
    assert ("power_not_identified" in {one.code for one in doubts}) == told


@pytest.mark.parametrize(("off", "speaks"), [(0.99, False), (1.01, True), (-1.01, True)])
def test_readings_speak_against_a_set_power_beyond_99_percent(off, speaks):
    free = fit([0.7], [[0.01]])
    moved = fit([0.7 + off * quantile(0.01, 8, 0.99) * 0.1], [[0.0]])
    found = against_power(moved, free, 8)
    assert [one.code for one in found] == (["power_misfits"] if speaks else [])
    if speaks:
        assert found[0].where.value == pytest.approx(np.exp(0.7))


def test_a_root_of_the_covariance():
    cov = np.array([[0.04, 0.01], [0.01, 0.09]])
    root = power_root(cov)
    assert_allclose(root @ root.T, cov)
    assert_allclose(power_root(-1e-18 * np.eye(2)), 0)


def test_degrees_of_freedom_are_lost_by_what_the_readings_tell_alone():
    """The prior's variance is 0.25: at 0.0625 three quarters of the power's part are readings'."""
    assert df_with_power(4.0, 0.01, 0.0, 0.1) == pytest.approx(4.0)
    assert df_with_power(4.0, 0.01, 0.03, 0.0) == pytest.approx(4.0)
    assert df_with_power(4.0, 0.01, 0.04, 0.0625) == pytest.approx(4.0 * (0.05 / 0.04) ** 2)
    assert df_with_power(4.0, 0.0, 0.04, 0.25) == pytest.approx(4.0 * 1e6)
    assert df_with_power(4.0, 0.01, 0.04, 0.3) == pytest.approx(4.0 * 25)


def test_a_limit_is_a_reading_or_a_multiple_of_the_fresh_one():
    fitted = SimpleNamespace(log_scale=np.log([2.0, 3.0]))
    value = np.array([10.0, 5.0])
    assert_allclose(LifeLimits(value, value).log_limit(fitted), np.log(value))
    times = LifeLimits(value, value, of_fresh=True)
    assert_allclose(times.log_limit(fitted), np.log([20.0, 15.0]))
    assert exp_or_inf(0.0) == 1.0
    assert np.isfinite(exp_or_inf(699.9))
    assert exp_or_inf(700.0) == np.inf
