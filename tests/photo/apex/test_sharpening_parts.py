"""Averaging over masks and corners: normal laws, cut at nothing, in closed form."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm

from edgetest.photo.apex.mask_model import AMOUNT, SIZE, WIDTH
from edgetest.photo.apex.sharpening import (
    CORNERS,
    Sharpened,
    _corner_odds,
    _masks,
    _Part,
    _with_corners,
    _without_middle,
)

FLAT = 2 / 0.7  # of the amounts' half-normal law at nothing, over a whole normal law


@pytest.mark.parametrize(("middle", "spread"), [(0.0, 0.1), (0.3, 0.2), (-0.15, 0.1), (0.5, 0.3)])
def test_masks_are_no_mask_and_a_normal_law_cut_at_nothing(middle, spread):
    """Odds of four for none; the moments of a truncated normal law for the others."""
    z = middle / spread
    none = 4 / spread * np.exp(-0.5 * z**2)
    some = FLAT * norm.cdf(z)
    first = FLAT * (middle * norm.cdf(z) + spread * norm.pdf(z))
    second = FLAT * ((middle**2 + spread**2) * norm.cdf(z) + middle * spread * norm.pdf(z))
    share, mean, variance = _masks(middle, spread)
    assert share == pytest.approx(none + some, rel=2e-3)
    assert mean == pytest.approx(first / (none + some), rel=3e-3)
    assert variance == pytest.approx(second / (none + some) - mean**2, rel=5e-3)


def test_a_mask_that_is_surely_there_has_its_own_law():
    assert _masks(2.0, 0.1) == pytest.approx((FLAT, 2.0, 0.01), rel=1e-3)


def test_corners_have_a_half_normal_law_beside_sharp_ones():
    assert _corner_odds(0) == 8.0
    odds = np.array([_corner_odds(corner) for corner in CORNERS[1:]])
    # Of the law's whole, what lies within half a step of the sizes that are tried.
    assert odds.sum() == pytest.approx(2 * (norm.cdf(2.025) - norm.cdf(0.225)), rel=0.01)
    assert odds[1] / odds[0] == pytest.approx(norm.pdf(0.9) / norm.pdf(0.45))
    assert_allclose(CORNERS, [0, 0.45, 0.9, 1.35, 1.8])


def test_a_wide_land_s_middle_is_taken_out():
    """20 px wide, 6 px of either border near: 8 px go, both sides move by 4."""
    t = np.array([-17.0, -16, -15.5, -10, -4.5, -4, -1, 0.5, 4, 4.5, 10, 15.5, 16, 17])
    value = np.arange(t.size) + 0.5
    (moved, held, sd), out = _without_middle((t, value, 2 * value), 20.0, 6.0)
    assert out == 8
    assert_allclose(moved, [-11.5, -6, -0.5, 0.5, 6, 11.5])
    assert_allclose(held, [2.5, 3.5, 4.5, 9.5, 10.5, 11.5])
    assert_allclose(sd, 2 * held)
    (moved, *_), out = _without_middle((t, value, value), 11.0, 6.0)
    assert out == 0
    assert_allclose(moved, [-10, -4.5, -4, -1, 0.5, 4, 4.5, 10])


@pytest.mark.parametrize(
    ("amount", "u", "sure"),
    [(0.31, 0.6, True), (0.29, 0.6, False), (0.26, 0.1, True), (0.25, 0.1, False)],
)
def test_sharpening_is_sure_beyond_its_own_doubt(amount, u, sure):
    """One and a half of it, the misfit that neighbours share left out; a quarter at least."""
    assert Sharpened(20.0, 0.1, amount, 1.2, u, 1.0).sure == sure


def parabola(seed, *, amount, width=20.0):
    """Data and prior of random information, and where both together are likeliest."""
    rng = np.random.default_rng(seed)
    root = rng.standard_normal((30, SIZE)) * 4
    data, best = root.T @ root, rng.standard_normal(SIZE)
    best[WIDTH], best[AMOUNT] = width, amount
    sd, mean = 1 + rng.random(SIZE), best + 0.2 * rng.standard_normal(SIZE)
    return data, best, sd, mean


@pytest.mark.parametrize("worse", [1.0, 2.5])
@pytest.mark.parametrize("seed", [1, 2])
def test_a_part_is_the_normal_law_about_the_likeliest_place(seed, worse):
    """Laplace's approximation is exact for a parabola, wherever the fit stopped."""
    data, best, sd, mean = parabola(seed, amount=1.0)
    theta = best + 0.3 * np.random.default_rng(9).standard_normal(SIZE)
    model = SimpleNamespace(prior=lambda at: ((at - mean) / sd, np.diag(sd**-2)))
    off = theta - best
    state = (None, None, None, 1.7 + off @ data @ off, data @ off, data)
    part = _Part.of(model, 0.0, (theta, state), worse)

    normal = data / worse + np.diag(sd**-2)
    place = np.linalg.solve(normal, data @ best / worse + mean / sd**2)
    covariance = np.linalg.inv(normal)
    rest, miss = place - best, (place - mean) / sd
    least = (1.7 + rest @ data @ rest) / worse + miss @ miss
    assert part.amount == pytest.approx(
        (place[AMOUNT], covariance[AMOUNT, AMOUNT] ** 0.5), rel=2e-3
    )
    assert part.width == pytest.approx((place[WIDTH], covariance[WIDTH, WIDTH] ** 0.5), rel=2e-3)
    expected = np.log(8 * FLAT) - least / 2 - np.linalg.slogdet(normal)[1] / 2
    assert part.log_weight == pytest.approx(expected, abs=2e-3)


def test_a_width_follows_the_amount_that_is_possible():
    """Where the likeliest amount lies below nothing, the width moves by what it owes to it."""
    covariance = np.eye(SIZE) * 0.01
    covariance[WIDTH, WIDTH], covariance[AMOUNT, AMOUNT] = 0.04, 0.09
    covariance[WIDTH, AMOUNT] = covariance[AMOUNT, WIDTH] = 0.045
    theta = np.zeros(SIZE)
    theta[WIDTH], theta[AMOUNT] = 20.0, -0.9
    model = SimpleNamespace(prior=lambda at: (np.zeros(SIZE), np.zeros((SIZE, SIZE))))
    state = (None, None, None, 0.0, np.zeros(SIZE), np.linalg.inv(covariance))
    part = _Part.of(model, 0.45, (theta, state), 1.0)
    _, mean, variance = _masks(-0.9, 0.3)
    assert part.amount == pytest.approx((mean, variance**0.5))
    # Half a pixel for an amount of one; 0.04 less 0.5² of 0.09 is the width's own.
    assert part.width[0] == pytest.approx(20 + 0.5 * (mean + 0.9))
    assert part.width[1] == pytest.approx(np.sqrt(0.04 - 0.0225 + 0.25 * variance))


def test_rounder_corners_are_tried_until_they_are_too_unlikely():
    """Eight of cost more than the best, each fit starting where the last one ended."""
    from edgetest.photo.apex import sharpening

    seen = []

    class Model:
        costs = (5.0, 2.0, 9.9, 10.1, 0.0)

        def fitted(self, theta):
            seen.append(theta)
            return theta + 1, (self.costs[len(seen) - 1],)

    real = sharpening.replace
    sharpening.replace = lambda model, corner: model
    try:
        fits = _with_corners(Model(), 10)
    finally:
        sharpening.replace = real
    assert seen == [10, 11, 12, 13]
    assert [corner for corner, _ in fits] == pytest.approx([0, 0.45, 0.9, 1.35])
    assert [state[0] for _, (_, state) in fits] == [5.0, 2.0, 9.9, 10.1]
