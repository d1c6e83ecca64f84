"""How far things truly differ: against a likelihood written out, and what it holds of truths."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from edgetest.errors import UnusableInput
from edgetest.stats.linked_studies import StudyEffects
from edgetest.stats.true_spread import (
    LASTING,
    LEARNT_SCALE,
    TrueSpread,
    _log_likelihoods,
    believed_spread,
    learnt_spread,
)


def pair(effect, variance, arms=("a", "b")):
    """A study of two arms."""
    return StudyEffects(arms, np.array([effect]), np.array([[variance]]))


def test_two_studies_teach_nothing():
    assert learnt_spread([pair(0.3, 0.01), pair(0.4, 0.01)]) is None
    assert believed_spread().studies == 0


def test_posterior_is_that_of_the_written_out_likelihood():
    """Three studies of one pair and one of three arms, the marginal normal summed on a grid."""
    studies = [pair(0.30, 0.01), pair(0.12, 0.02), pair(-0.05, 0.01, ("a", "c")),
               StudyEffects(("b", "c", "d"), np.array([-0.2, 0.25]),
                            np.array([[0.02, 0.01], [0.01, 0.02]]))]  # fmt: skip
    y = np.array([0.30, 0.12, -0.05, -0.2, 0.25])
    z = np.array([[-1, 1, 0, 0], [-1, 1, 0, 0], [-1, 0, 1, 0], [0, -1, 1, 0], [0, -1, 0, 1.0]])
    within = np.diag([0.01, 0.02, 0.01, 0.02, 0.02])
    within[3, 4] = within[4, 3] = 0.01
    own = np.diag([2.0] * 5)
    own[3, 4] = own[4, 3] = 1.0
    tau = np.linspace(0.001, 2.0, 500)
    density = np.zeros(len(tau))
    for at, each in enumerate(tau):
        for share in LASTING:
            cov = within + each**2 / 2 * (share * z @ z.T + (1 - share) * own)
            density[at] += multivariate_normal.pdf(y, cov=cov)
    density *= np.exp(-0.5 * (tau / LEARNT_SCALE) ** 2)
    below = np.cumsum(density) / density.sum()
    found = learnt_spread(studies)
    for end, share in ((found.low, 0.025), (found.sd, 0.5), (found.high, 0.975)):
        assert end == pytest.approx(np.interp(share, below, tau), abs=0.012)


def test_a_true_spread_is_held_and_more_studies_tell_it_closer():
    rng = np.random.default_rng(8)
    widths, held = {4: [], 16: []}, []
    for _ in range(40):
        for count, each in widths.items():
            pairs = [pair(0.25 * rng.normal() + 0.1 * rng.normal(), 0.01, (f"a{n}", f"b{n}"))
                     for n in range(count)]  # fmt: skip
            found = learnt_spread(pairs)
            each.append(found.high / found.low)
            held.append(found.low <= 0.25 <= found.high)
    assert np.mean(held) > 0.9
    assert np.median(widths[16]) < np.median(widths[4]) / 2


def test_what_is_said_names_the_studies_or_what_is_assumed():
    assert "an assumption of this program, not measured in your shop" in believed_spread().summary()
    pairs = [pair(0.3 * (-1) ** n, 0.01, (f"a{n}", f"b{n}")) for n in range(5)]
    assert "5 earlier studies of your shop" in learnt_spread(pairs).summary()


def test_our_own_prior_is_a_half_normal_of_a_quarter():
    """Its quantiles are those of |z|: 0.0313, 0.6745 and 2.2414 times the scale."""
    own = believed_spread()
    assert (own.low, own.sd, own.high) == pytest.approx(
        (0.0313 * 0.25, 0.6745 * 0.25, 2.2414 * 0.25), rel=0.08
    )
    assert own.masses.sum() == pytest.approx(1.0)
    assert own.masses @ own.nodes**2 == pytest.approx(0.25**2, rel=1e-4)
    assert own.masses @ own.nodes == pytest.approx(0.25 * (2 / np.pi) ** 0.5, rel=1e-4)
    assert own.to_dict() == {"sd": own.sd, "low": own.low, "high": own.high, "studies": 0}
    assert "half-normal with scale 0.25" in own.prior()
    assert believed_spread() is own


def test_what_studies_taught_is_said_in_numbers_and_per_cent():
    told = TrueSpread(0.22, 0.12, 0.40, 5, np.zeros(1), np.ones(1))
    assert told.words() == "22 % (12 to 40 %)"
    assert told.prior() == (
        "the shop's own: true log ratios of lives are normal about 0 with an SD of which 5 earlier"
        " studies say 0.22 (0.12 to 0.40)"
    )
    assert told.summary().startswith("That true differences between heat treatments are about 22 %")


def test_three_studies_are_enough_and_one_without_a_covariance_is_refused():
    three = [pair(0.3, 0.01), pair(0.4, 0.01), pair(0.1, 0.01)]
    assert learnt_spread(three).studies == 3
    with pytest.raises(UnusableInput, match="covariance is none"):
        learnt_spread([*three, pair(0.3, -0.01)])


def test_the_likelihood_of_each_lasting_part_is_that_of_the_normal():
    """Up to a constant of the studies' own: differences from one spread to another."""
    studies = [pair(0.30, 0.01), pair(-0.05, 0.02, ("a", "c")),
               StudyEffects(("b", "c", "d"), np.array([-0.2, 0.25]),
                            np.array([[0.02, 0.01], [0.01, 0.03]]))]  # fmt: skip
    y = np.array([0.30, -0.05, -0.2, 0.25])
    z = np.array([[-1, 1, 0, 0], [-1, 0, 1, 0], [0, -1, 1, 0], [0, -1, 0, 1.0]])
    within, own = np.diag([0.01, 0.02, 0.02, 0.03]), np.diag([2.0] * 4)
    within[2, 3] = within[3, 2] = 0.01
    own[2, 3] = own[3, 2] = 1.0
    nodes = np.array([0.05, 0.2, 0.9])
    for share, found in zip(LASTING, _log_likelihoods(studies, nodes), strict=True):
        expected = [
            multivariate_normal.logpdf(
                y, cov=within + tau**2 / 2 * (share * z @ z.T + (1 - share) * own)
            )
            for tau in nodes
        ]
        assert np.diff(found) == pytest.approx(np.diff(expected), rel=1e-9)
