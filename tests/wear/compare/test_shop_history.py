"""The shop's scatter: moments by hand, moderation as a weighted mean, and what is refused."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import digamma, polygamma
from scipy.stats import f as fisher
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.wear.compare.shop_history import (
    ShopHistory,
    disagrees,
    learn_scatter,
    moderated_t,
)


def test_one_earlier_study_is_taken_with_the_prior_s_spread():
    """Smyth (2004): E[log s²] = log σ² + digamma(df/2) - log(df/2), trigamma(df/2) its noise."""
    found = learn_scatter([0.12], [6.0])
    spread = 0.7**2 + polygamma(1, 3.0) + 0.7**2  # between studies, and of the centre itself
    assert polygamma(1, found.df / 2) == pytest.approx(spread, rel=1e-6)
    log_variance = 2 * np.log(0.12) - digamma(3.0) + np.log(3.0)
    expected = log_variance + digamma(found.df / 2) - np.log(found.df / 2)
    assert 2 * np.log(found.sd_log_life) == pytest.approx(expected)
    assert found.studies == 1
    assert "1 earlier study:" in found.summary()


def test_studies_that_agree_are_worth_more_and_those_that_do_not_less():
    sd, df = np.array([0.10, 0.15, 0.12, 0.11]), np.array([6.0, 4.0, 8.0, 6.0])
    log_variance = 2 * np.log(sd) - digamma(df / 2) + np.log(df / 2)
    noise = polygamma(1, df / 2)
    weight = 1 / (noise + 0.49)
    weight /= weight.sum()
    centre = weight @ log_variance
    seen = max(((log_variance - centre) ** 2 - noise).sum() / 3, 0.0)
    spread = (3 * seen + 4 * 0.49) / 7
    spread += weight**2 @ (noise + spread)
    found = learn_scatter(sd, df)
    assert polygamma(1, found.df / 2) == pytest.approx(spread, rel=1e-6)
    apart = learn_scatter([0.03, 0.3, 0.08, 0.2], df)
    assert apart.df < found.df
    assert "4 earlier studies:" in found.summary()
    many = learn_scatter([0.1] * 2, [0.6, 0.6])
    assert many.df <= 1.2


@pytest.mark.parametrize("sd", [(0.05, 0.2), (0.03, 0.3, 0.1)])
def test_studies_known_well_have_the_spread_of_their_own_log_variances(sd):
    """With a million degrees of freedom nothing of their spread is noise."""
    spread = np.var(2 * np.log(sd), ddof=1)
    spread = ((len(sd) - 1) * spread + 4 * 0.49) / (len(sd) - 1 + 4)
    spread *= 1 + 1 / len(sd)  # all weigh alike: the mean of a few is known only so well
    found = learn_scatter(sd, [1e6] * len(sd))
    assert polygamma(1, found.df / 2) == pytest.approx(spread, rel=1e-4)


def test_the_moderated_variance_is_the_mean_by_degrees_of_freedom():
    shop = ShopHistory(0.10, 8.0, 4)
    found = moderated_t(0.3, 2 / 3, 0.04, 4.0, shop, 0.9)
    variance = (8 * 0.01 + 4 * 0.04) / 12 * 2 / 3
    assert_allclose(found.stderr, variance**0.5)
    assert_allclose(found.half_width, student.ppf(0.95, 12) * variance**0.5, rtol=1e-9)
    assert found.df == 12
    bare = moderated_t(0.3, 2.0, 0.0, 0.0, shop, 0.95)
    assert_allclose(bare.stderr, 0.1 * 2**0.5)


def test_a_scatter_beyond_one_in_a_hundred_disagrees():
    shop = ShopHistory(0.10, 8.0, 4)
    for tail, beyond in ((0.003, True), (0.007, False), (0.993, False), (0.997, True)):
        assert disagrees(0.01 * fisher.ppf(tail, 4, 8), 4.0, shop) is beyond
    assert not disagrees(9.0, 0.0, shop)


@pytest.mark.parametrize(
    ("sd", "df"), [([], []), ([0.1], [3, 4]), ([0.0], [3]), ([0.1], [0]), ([np.nan], [3])]
)
def test_what_is_no_scatter_is_refused(sd, df):
    with pytest.raises(UnusableInput):
        learn_scatter(sd, df)
