"""Chances shrunk by a stated prior: against integrals done otherwise, and what they may say."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import k0
from scipy.stats import norm as normal
from scipy.stats import t as student

from edgetest.wear.compare.chances import SeenDifference, chance_word, shrunk_chances
from edgetest.wear.compare.shop_history import ShopHistory

NO_BELIEF = ShopHistory(0.15, 1e-9, 0)


def plain_posterior(difference, stderr, df, shift):
    """Student's likelihood times the density of a product of two normals.

    Craig, Ann. Math. Stat. 7 (1936) 1-15: the product of normals with SD 1 and s has the
    density K0(|d| / s) / (pi s).
    """

    def density(d):
        return student.pdf((difference - d) / stderr, df) * k0(abs(d) / 0.25)

    def mass(low, high):
        inside = sorted(p for p in (0, difference, shift) if low < p < high)
        return quad(density, low, high, points=inside or None, limit=400)[0]

    return mass(shift, 4) / (mass(-4, shift) + mass(shift, 4))


@pytest.mark.parametrize(
    ("difference", "stderr", "df"),
    [(0.2, 0.1, 4), (0.4, 0.12, 4), (0.05, 0.02, 8), (0.6, 0.03, 2), (0.3, 0.1, 1), (-0.2, 0.1, 9)],
)  # fmt: skip
def test_chances_are_those_of_the_stated_prior(difference, stderr, df):
    found = shrunk_chances(SeenDifference(difference, stderr, df, 0.15), history=NO_BELIEF)
    assert found.longer == pytest.approx(plain_posterior(difference, stderr, df, 0), abs=1e-3)
    margin = plain_posterior(difference, stderr, df, np.log(1.1))
    assert found.longer_by_margin == pytest.approx(margin, abs=1e-3)


def test_median_and_interval_have_the_mass_that_they_state():
    found = shrunk_chances(SeenDifference(0.4, 0.12, 4, 0.15), history=NO_BELIEF)
    for end, mass in ((found.low, 0.975), (found.ratio, 0.5), (found.high, 0.025)):
        assert plain_posterior(0.4, 0.12, 4, np.log(end)) == pytest.approx(mass, abs=1e-3)


def test_the_next_blade_is_always_nearer_to_even_than_the_mean():
    difference = np.linspace(-2, 2, 13)[:, None, None]
    sd = np.array([0.0, 0.01, 0.1, 0.4])[:, None]
    for df in (1.0, 4.0, 14.0, np.inf):
        for n in (2, 5):
            found = shrunk_chances(SeenDifference(difference, sd * np.sqrt(2 / n), df, sd))
            assert (np.abs(found.next_outlasts - 0.5) <= np.abs(found.longer - 0.5)).all()


def test_second_and_first_exchanged_exchange_the_chances():
    one, other = (shrunk_chances(SeenDifference(d, 0.1, 4, 0.15)) for d in (0.3, -0.3))
    assert one.longer == pytest.approx(1 - other.longer)
    assert one.next_outlasts == pytest.approx(1 - other.next_outlasts)
    assert one.ratio == pytest.approx(1 / other.ratio, rel=1e-3)


def test_a_difference_is_shrunk_and_more_so_where_less_is_known():
    known, guessed = (shrunk_chances(SeenDifference(0.4, se, 4, 0.15)) for se in (0.05, 0.2))
    assert 1 < guessed.ratio < known.ratio < np.exp(0.4)
    assert guessed.longer < known.longer


def test_a_shop_that_knows_its_scatter_makes_lucky_blades_less_sure():
    lucky = SeenDifference(0.2, 0.02, 4, 0.025)
    shop = ShopHistory(0.2, 20.0, 6)
    assert shrunk_chances(lucky, history=shop).longer < shrunk_chances(lucky).longer - 0.05


def test_two_a_side_are_worded_not_numbered():
    found = shrunk_chances(SeenDifference(0.3, 0.1, 2, 0.1)).to_dict()
    assert found["longer"] is None
    assert found["next_outlasts"] is None
    assert found["words"]["longer"] == "likely"
    assert "our own prior" in found["prior"]
    assert shrunk_chances(SeenDifference(0.3, 0.1, 4, 0.1)).to_dict()["longer"] > 0.8


def test_words_mean_the_same_on_both_sides_of_even():
    assert [chance_word(p) for p in (0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99, 1.0)] == [
        "very unlikely", "unlikely", "rather unlikely",
        "about as likely as not",
        "rather likely", "likely", "very likely", "very likely",
    ]  # fmt: skip


def test_chances_said_come_true_where_treatments_hardly_differ():
    """Three a side, true log ratios normal with an SD of 0.10: not more than 0.03 too much."""
    rng = np.random.default_rng(12)
    truth, scatter = rng.normal(0, 0.10, 600), rng.choice([0.05, 0.10, 0.15], 600)
    first, second = rng.normal(0, scatter, (2, 3, 600))
    sd = np.sqrt((first.var(axis=0, ddof=1) + second.var(axis=0, ddof=1)) / 2)
    difference = truth + second.mean(axis=0) - first.mean(axis=0)
    found = shrunk_chances(SeenDifference(difference, sd * np.sqrt(2 / 3), 4.0, sd))
    said = np.maximum(found.longer, 1 - found.longer)
    right = (found.longer > 0.5) == (truth > 0)
    sure = said > 0.85
    assert said[sure].mean() - right[sure].mean() < 0.03
    assert said.mean() - right.mean() < 0.01


def test_one_degree_of_freedom_tells_nothing_of_the_next_blade():
    found = shrunk_chances(SeenDifference(0.6, 0.02, 1.0, 0.02))
    assert found.to_dict()["words"]["next_outlasts"] is None
    text = found.sentence("soft", "hard")
    assert text == (
        "hard is likely to last longer on average; whether the next hard blade outlasts the next "
        "soft blade, so few blades do not tell."
    )


KNOWN_SCATTER = ShopHistory(0.15, 1e6, 50)


@pytest.mark.parametrize("margin", [0.05, 0.10, 0.25])
def test_chances_are_those_of_the_next_blades_and_of_the_margin_asked_for(margin):
    """Scatter known to be 0.15, three a side: all is one integral over the true difference.

    The next blades differ by the true difference and twice the variance of a blade besides.
    """
    stderr = 0.15 * np.sqrt(2 / 3)
    found = shrunk_chances(
        SeenDifference(0.3, stderr, 4, 0.15), margin=margin, history=KNOWN_SCATTER
    )

    def density(d):
        return normal.pdf((0.3 - d) / stderr) * k0(abs(d) / 0.25)

    def integral(weight, low):
        inside = [p for p in (0.0, 0.3) if low < p]
        return quad(lambda d: weight(d) * density(d), low, 3, points=inside, limit=400)[0]

    whole = integral(lambda d: 1.0, -3.0)
    by_margin = integral(lambda d: 1.0, np.log(1 + margin)) / whole
    next_one = integral(lambda d: normal.cdf(d / (0.15 * np.sqrt(2))), -3.0) / whole
    assert found.longer_by_margin == pytest.approx(by_margin, abs=1e-3)
    assert found.next_outlasts == pytest.approx(next_one, abs=1e-3)
