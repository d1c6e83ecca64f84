"""Powers of heat treatments: the closed form against integrals by brute force, and what it does."""

import numpy as np
import pytest

from edgetest.wear.curve.treatment_powers import (
    PRIOR_SD,
    TAUS,
    TREATMENTS_DIFFER,
    powers_together,
    prior_cov,
)
from tests.wear.columns import codes, fit_study
from tests.wear.curve.exact_study import study


def by_brute_force(precision, pull):
    """Moments of two log powers on a grid of both, mean and SD of the treatments integrated."""
    x = np.linspace(-5.0, 5.0, 601)
    first, second = np.meshgrid(x, x, indexing="ij")
    like = np.exp(
        -precision[0] * first**2 / 2
        + pull[0] * first
        - precision[1] * second**2 / 2
        + pull[1] * second
    )
    both = np.stack([first, second], axis=-1)
    total = np.zeros_like(first)
    for tau in TAUS:
        cov = prior_cov(2, tau)
        inside = np.einsum("abi,ij,abj->ab", both, np.linalg.inv(cov), both)
        prior = np.exp(-inside / 2) / np.sqrt(np.linalg.det(cov))
        total += np.exp(-((tau / TREATMENTS_DIFFER) ** 2) / 2) * prior * like
    total /= total.sum()
    mean = np.array([(total * first).sum(), (total * second).sum()])
    off = both - mean
    return mean, np.einsum("ab,abi,abj->ij", total, off, off)


@pytest.mark.parametrize(
    ("precision", "pull"),
    [([40.0, 90.0], [-8.0, 30.0]), ([2.0, 150.0], [1.0, -45.0]), ([0.0, 25.0], [0.0, 10.0])],
)
def test_moments_are_those_of_the_integral(precision, pull):
    found = powers_together(np.array(precision), np.array(pull))
    mean, cov = by_brute_force(precision, pull)
    np.testing.assert_allclose(found.shift, mean, atol=2e-3)
    np.testing.assert_allclose(found.cov, cov, rtol=0.01, atol=2e-4)


def test_the_mean_that_they_lie_about_has_the_moments_of_its_integral():
    """Over every mean and every spread about it, each heat treatment by a sum over its own."""
    precision, pull = (2000.0, 60.0, 60.0), (400.0, -40.0, -30.0)
    m, x = np.linspace(-2.5, 2.5, 501), np.linspace(-4.0, 4.0, 2001)
    total = np.zeros_like(m)
    for tau in TAUS:
        part = np.exp(-((m / PRIOR_SD) ** 2) / 2 - (tau / TREATMENTS_DIFFER) ** 2 / 2)
        for a, b in zip(precision, pull, strict=True):
            if tau < 0.02:  # narrower than the grid can see
                part *= np.exp(-a * m**2 / 2 + b * m)
                continue
            about = np.exp(-(((x - m[:, None]) / tau) ** 2) / 2) / tau
            part *= about @ np.exp(-a * x**2 / 2 + b * x) * (x[1] - x[0]) / np.sqrt(2 * np.pi)
        total += part
    total /= total.sum()
    found = powers_together(np.array(precision), np.array(pull))
    mean = total @ m
    assert found.common == pytest.approx(mean, abs=2e-3)
    assert found.common_var == pytest.approx(total @ (m - mean) ** 2, rel=0.004)


def test_a_single_heat_treatment_has_the_common_mean_for_its_power():
    found = powers_together(np.array([12.0]), np.array([3.0]))
    assert found.shift[0] == found.common == pytest.approx(3.0 / (12.0 + PRIOR_SD**-2))
    assert found.cov[0, 0] == found.common_var == pytest.approx(1 / (12.0 + PRIOR_SD**-2))


def test_readings_that_say_nothing_leave_the_prior():
    found = powers_together(np.zeros(3), np.zeros(3))
    weight = np.exp(-((TAUS / TREATMENTS_DIFFER) ** 2) / 2)
    tau2 = (weight * TAUS**2).sum() / weight.sum()
    np.testing.assert_allclose(found.cov, prior_cov(3, np.sqrt(tau2)), rtol=1e-12)


def test_two_alike_lend_the_third_what_they_know():
    """A heat treatment with few readings leans on the others; with many it does not."""
    others = np.array([200.0, 200.0])
    for own, share in ((1.0, 0.5), (400.0, 0.05)):
        found = powers_together(np.r_[others, own], np.r_[others * 0.5, 0.0])
        assert (found.shift[2] > share * 0.5) == (own == 1.0)


def two_powers(first=1.5, second=3.0, **more):
    """Readings of two heat treatments of different powers, and which run has which."""
    parts = [study(power=p, seed=3 + k, **more) for k, p in enumerate((first, second))]
    parts[1]["blade"] = np.char.add(parts[1]["blade"], "2")
    data = {key: np.concatenate([part[key] for part in parts]) for key in parts[0]}
    named = [np.unique(part["blade"]).tolist() for part in parts]
    return data, {run: name for name, runs in zip("st", named, strict=True) for run in runs}


def test_each_heat_treatment_has_its_own_power_and_differing_shapes_are_said():
    data, treatment_of = two_powers(cv=0.03)
    fit = fit_study(**data, limit=10.0, treatment_of=treatment_of)
    assert fit.powers["s"].low < 1.5 < fit.powers["s"].high < 2.2
    assert 2.2 < fit.powers["t"].low < 3.0 < fit.powers["t"].high
    assert fit.powers["s"].value < fit.power.value < fit.powers["t"].value
    (said,) = [one for one in fit.doubts if one.code == "shapes_differ"]
    assert f"s: {fit.powers['s'].summary()}; t: {fit.powers['t'].summary()}" in said.text
    assert set(fit.to_dict()["powers"]) == {"s", "t"}
    shared = fit_study(**data, limit=10.0)
    assert list(shared.powers) == ["all blades"]
    assert "law_misfits" in codes(shared) or shared["A"].residual_cv > fit["A"].residual_cv


def test_equal_shapes_are_not_said_to_differ():
    data, treatment_of = two_powers(2.0, 2.0, cv=0.03)
    fit = fit_study(**data, limit=10.0, treatment_of=treatment_of)
    assert "shapes_differ" not in codes(fit)
    ratio = fit.powers["s"].value / fit.powers["t"].value
    assert ratio == pytest.approx(1.0, abs=0.1)


def test_lives_share_what_their_powers_share():
    """Latent factors: their rows give back the covariance of the powers' part of the lives."""
    data, treatment_of = two_powers(2.0, 2.2, cv=0.05, lives=(700.0, 800.0))
    fit = fit_study(**data, limit=10.0, treatment_of=treatment_of)
    rows = {f.blade: np.array(f.life.by_law.log_life_law_u) for f in fit.blades}
    within = rows["A"] @ rows["B"] / np.linalg.norm(rows["A"]) / np.linalg.norm(rows["B"])
    between = rows["A"] @ rows["A2"] / np.linalg.norm(rows["A"]) / np.linalg.norm(rows["A2"])
    assert within == pytest.approx(1.0, abs=1e-6)
    assert 0.05 < between < 0.9


def test_a_run_without_a_name_shares_the_power_of_those_without():
    data, treatment_of = two_powers(2.0, 2.0, cv=0.03)
    named = {run: name for run, name in treatment_of.items() if name == "s"}
    fit = fit_study(**data, limit=10.0, treatment_of=named)
    assert list(fit.powers) == ["s", "all blades"]
