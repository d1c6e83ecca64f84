"""Ends of a profile-likelihood interval: a matter of the shape of the likelihood, not its unit."""

import numpy as np
import pytest

from edgetest.wear.curve.batch_fit import Curves, fit_shapes
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.profile_likelihood import Profiled, profile_life

CUTS = np.array([[0.0, 10, 20, 40, 80, 160, 320]])
RESIDUALS = np.array([[0.02, -0.03, 0.01, 0.02, -0.02, 0.01, -0.01]])  # invented


@pytest.mark.parametrize("unit", [0.1, 0.01, 1000.0])
def test_the_ends_of_a_multiple_of_fresh_do_not_depend_on_the_unit_of_the_scatter(unit):
    """Weights and threshold in other units are the same question, also where they weigh below 1."""
    law = LAWS["saturating"]
    log_value = np.log(200 * (1 + 1.4 * (1 - np.exp(-CUTS / 30)))) + RESIDUALS

    def ends(root):
        curves = Curves(CUTS, log_value, np.full(CUTS.shape, root))
        psi = fit_shapes(law, Curves(CUTS, log_value, np.ones(CUTS.shape))).psi
        sought = Profiled(law, curves, psi, np.log([2.0]), of_fresh=True)
        life = np.log(law.cuts_at(np.log([2.0]), psi))
        return profile_life(sought, life, np.array([0.05]), np.array([2.0 * root / 40]))

    low, high = ends(unit)
    expected = ends(40.0)
    np.testing.assert_allclose([low, high], expected, rtol=1e-4)
    assert np.isfinite([low, high]).all()
    assert low < high


@pytest.mark.parametrize("scatter", [0.03, 0.06])
def test_the_ends_hold_the_life_where_a_shape_went_to_the_end_of_its_law(scatter):
    """Sixty blades, seen to half their life: straight so far, so no levelling off is in sight."""
    law, rng, n = LAWS["saturating"], np.random.default_rng(3), 60
    cuts, limit, clock = np.tile([0.0, 10, 25, 50], (n, 1)), np.log(320.0), 110.0
    log_value = np.log(155 * (1 + cuts / clock)) + scatter * rng.standard_normal(cuts.shape)
    curves = Curves(cuts, log_value, np.full(cuts.shape, 1 / scatter))
    fit = fit_shapes(law, curves)
    life = np.log(law.cuts_at(limit - fit.log_scale, fit.psi))
    seen = np.isfinite(life)
    assert fit.at_end[seen].sum() > 10
    sought = Profiled(law, curves.take(seen), fit.psi[seen], np.full(seen.sum(), limit))
    stderr, threshold = np.full((2, seen.sum()), [[0.92], [1.96]])
    low, high = profile_life(sought, life[seen], stderr, threshold)
    truth = np.log(clock * (320 / 155 - 1))
    assert np.all(high - low > scatter)
    assert np.mean((low <= truth) & (truth <= high)) > 0.9
