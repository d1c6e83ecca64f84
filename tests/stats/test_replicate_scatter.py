"""Means of groups whose replicates scatter: against plain sums, Student's t, and refusals."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import chdtri
from scipy.stats import ttest_ind

from edgetest.errors import UnusableInput
from edgetest.stats.replicate_scatter import (
    VARIANCES,
    Mixture,
    UsualScatter,
    group_means,
    shares,
)

WIDE_OPEN = UsualScatter(0.3, 3.0)


def test_an_open_prior_leaves_students_t():
    rng = np.random.default_rng(1)
    a, b = 0.4 + 0.3 * rng.standard_normal(8), 0.3 * rng.standard_normal(8)
    means = group_means([*a, *b], np.zeros((16, 16)), "a" * 8 + "b" * 8, WIDE_OPEN)
    centre, low, high = means.difference("a", "b").ends(0.95)
    t = ttest_ind(a, b).confidence_interval(0.95)
    assert_allclose([centre, low, high], [a.mean() - b.mean(), t.low, t.high], atol=0.02)


def test_a_known_scatter_leaves_the_normal():
    means = group_means([1.0, 1.2, 0.1, 0.3], 0.01 * np.eye(4), "aabb", UsualScatter(0.2, 1e-9))
    _, low, high = means.difference("a", "b").ends(0.95)
    assert_allclose([low, high], 0.9 + np.sqrt(0.05) * np.array([-1.95996, 1.95996]), rtol=1e-4)


def test_an_uncertain_size_of_the_covariance_widens_towards_t():
    sure, unsure = (
        group_means([1.0, 3.0, 0.0, 2.0], np.eye(4), "aabb", UsualScatter(1e-3, 0.1), df=df)
        .difference("a", "b")
        .ends(0.95)
        for df in (np.inf, 4.0)
    )
    # Squares 4 with 4 and 4 with 2 degrees of freedom together: t with 6, variance 8 / 6.
    assert (unsure[2] - 1) / (sure[2] - 1) == pytest.approx(
        2.447 * (8 / 6) ** 0.5 / 1.960, rel=0.01
    )


def test_what_replicates_share_cancels_in_the_difference():
    shared = 0.01 * np.eye(4) + 4.0
    means = group_means([1.0, 1.2, 0.1, 0.3], shared, "aabb", UsualScatter(0.1, 0.5))
    assert means.difference("a", "b").ends(0.95)[2] < 2
    assert means.mean("a").ends(0.95)[2] > 4


def test_one_replicate_of_a_group_is_refused():
    with pytest.raises(UnusableInput, match="b has one replicate"):
        group_means([1.0, 1.2, 0.1], np.eye(3), "aab", WIDE_OPEN)


def test_means_are_those_of_the_covariances_inverted_one_by_one():
    rng = np.random.default_rng(4)
    root = rng.standard_normal((7, 7))
    cov, value = 0.01 * root @ root.T, rng.standard_normal(7)
    group, usual = list("aaabbbb"), UsualScatter(0.1, 0.6)
    found = group_means(value, cov, group, usual, df=9)
    scatter, _ = usual.points()
    share, _ = shares(VARIANCES)
    design = np.array([[own == name for name in "ab"] for own in group], dtype=float)
    for k in (0, 17, 130, 239):
        factor = 9 / chdtri(9, share[k % VARIANCES])
        total = factor * cov + scatter[k // VARIANCES] ** 2 * np.eye(7)
        own = np.linalg.inv(design.T @ np.linalg.inv(total) @ design)
        assert_allclose(found.covs[k], own, rtol=1e-9)
        assert_allclose(found.means[k], own @ design.T @ np.linalg.inv(total) @ value, rtol=1e-9)


@pytest.mark.parametrize("share", [1e-6, 0.025, 0.5, 0.8, 0.999999])
def test_a_quantile_of_a_mixture_leaves_its_share_below(share):
    mixture = Mixture(
        np.array([0.7, 0.2999, 0.0001]), np.array([0.0, 1.0, 50.0]), np.array([0.01, 2.0, 1e-3])
    )
    at = mixture.quantile(share)
    assert mixture.below(at) == pytest.approx(share, rel=1e-9)


def test_scatters_weigh_by_their_prior_and_the_restricted_likelihood():
    rng = np.random.default_rng(4)
    root = rng.standard_normal((5, 5))
    cov, value, usual = 0.01 * root @ root.T, rng.standard_normal(5), UsualScatter(0.3, 0.6)
    found = group_means(value, cov, list("aabbb"), usual, df=9)
    scatter, prior = usual.points()
    share, rest = shares(VARIANCES)
    design = np.array([[own == name for name in "ab"] for own in "aabbb"], dtype=float)
    places, logs = (3, 40, 130, 200), []
    for k in places:
        factor = 9 / chdtri(9, share[k % VARIANCES])
        total = factor * cov + scatter[k // VARIANCES] ** 2 * np.eye(5)
        own = np.linalg.inv(design.T @ np.linalg.inv(total) @ design)
        left = value - design @ own @ design.T @ np.linalg.inv(total) @ value
        log_dets = np.linalg.slogdet(own)[1] - np.linalg.slogdet(total)[1]
        logs.append(
            (log_dets - left @ np.linalg.solve(total, left)) / 2
            + np.log(prior[k // VARIANCES] * rest[k % VARIANCES])
        )
    assert_allclose(np.diff(np.log(found.weight[list(places)])), np.diff(logs), rtol=1e-7)
    assert found.weight.sum() == pytest.approx(1.0)
    assert (found.groups, found.replicates) == (("a", "b"), (2, 3))
    # The posterior median: half of the weight lies at scatters up to it.
    held = np.repeat(scatter, VARIANCES)
    assert (
        found.weight[held < found.scatter].sum()
        < 0.5
        <= (found.weight[held <= found.scatter].sum())
    )


def test_a_prior_s_places_are_its_quantiles_and_weigh_one_in_all():
    """Gauss's sum over the probability: the log-normal's own mean and that of its log."""
    at, weight = UsualScatter(0.3, 0.5).points()
    assert weight.sum() == pytest.approx(1.0)
    assert weight @ at == pytest.approx(0.3 * np.exp(0.125), rel=2e-3)
    assert weight @ np.log(at) == pytest.approx(np.log(0.3), abs=1e-9)
    share, weights = shares(7)
    assert (weights @ share, weights @ share**2) == pytest.approx((1 / 2, 1 / 3))
    assert not share.flags.writeable


def test_one_normal_has_its_own_ends_and_their_exponentials():
    one = Mixture(np.array([1.0]), np.array([0.3]), np.array([0.2]))
    assert one.ends(0.9) == pytest.approx(
        (0.3, 0.3 - 0.2 * 1.644854, 0.3 + 0.2 * 1.644854), abs=1e-6
    )
    assert one.below(0.5) == pytest.approx(0.8413447)
    told = one.factor("µm", 0.9, "m")
    assert (told.unit, told.level, told.method) == ("µm", 0.9, "m")
    assert np.log([told.value, told.low]) == pytest.approx([0.3, 0.3 - 0.2 * 1.644854], abs=1e-6)
    two = Mixture(np.array([0.5, 0.5]), np.array([-90.0, 90.0]), np.array([1e-3, 1e-3]))
    assert two.ends(0.5)[1:] == pytest.approx((-90.0, 90.0))
    assert two.below(two.quantile(0.5 + 1e-9)) == pytest.approx(0.5 + 1e-9, abs=1e-12)


def test_means_and_differences_are_contrasts_of_the_groups():
    means = group_means([1.0, 1.2, 0.1, 0.3], 0.01 * np.eye(4), "aabb", UsualScatter(0.2, 0.3))
    assert means.mean("b").ends(0.9)[0] == pytest.approx(0.2)
    assert means.difference("b", "a").ends(0.9)[0] == pytest.approx(-0.9)
    assert_allclose(means.contrast([0.5, 0.5]).mean, 0.65)
    assert_allclose(means.contrast([2.0, 0.0]).sd, 2 * means.mean("a").sd)
