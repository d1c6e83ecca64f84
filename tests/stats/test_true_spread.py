"""How far things truly differ: against a likelihood written out, and what it holds of truths."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from edgetest.stats.linked_studies import StudyEffects
from edgetest.stats.true_spread import (
    LASTING,
    LEARNT_SCALE,
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
    tau = np.linspace(0.001, 2.0, 2000)
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
