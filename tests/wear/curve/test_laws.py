"""Every law: value, slopes, rate and inverse hang together, and the closed forms hold."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.curve.laws import LAWS

N = np.array([0.0, 1.0, 7.0, 40.0, 260.0])
PSI = {
    "wedge": [np.log(0.08), np.log(2.3)],
    "saturating": [np.log(1.8), np.log(60.0)],
    "falling_power": [np.log(12.0), np.log(0.7)],
    "falling_exponential": [-0.6, np.log(50.0)],
    "falling_hyperbolic": [-0.6, np.log(50.0)],
}


def reading(law, n, scale, psi):
    """What the law reads after `n` cuts."""
    return scale * np.exp(law.log_shape(np.asarray(n, dtype=float), np.asarray(psi)))


@pytest.mark.parametrize("name", LAWS)
def test_begins_at_the_scale_and_moves_one_way(name):
    law = LAWS[name]
    values = reading(law, N, 4.0, PSI[name])
    assert values[0] == 4.0
    assert np.all(law.direction * np.diff(values) > 0)


@pytest.mark.parametrize("name", LAWS)
def test_slopes_and_rate_are_the_derivatives(name):
    law, psi = LAWS[name], np.array(PSI[name])
    slopes = law.slopes(N, psi)
    for i in range(len(psi)):
        h = np.zeros(len(psi))
        h[i] = 1e-5
        central = (law.log_shape(N, psi + h) - law.log_shape(N, psi - h)) / 2e-5
        assert_allclose(slopes[:, i], central, atol=1e-9)
    n = N[1:]
    central = (law.log_shape(n * 1.00001, psi) - law.log_shape(n / 1.00001, psi)) / 2e-5
    assert_allclose(law.rate(n, psi), central, rtol=1e-4)
    per_cut = (reading(law, n + 1e-4, 4.0, psi) - reading(law, n - 1e-4, 4.0, psi)) / 2e-4
    assert_allclose(reading(law, n, 4.0, psi) * law.rate(n, psi) / n, per_cut, rtol=1e-5)


@pytest.mark.parametrize("name", LAWS)
def test_inverse_returns_the_cuts(name):
    law = LAWS[name]
    values = reading(law, N[1:], 4.0, PSI[name])
    assert_allclose(law.cuts_at(np.log(values / 4.0), np.array(PSI[name])), N[1:], rtol=1e-6)


@pytest.mark.parametrize("name", LAWS)
def test_the_psi_that_is_set_makes_the_curve_pass_where_it_is_to(name):
    law, psi = LAWS[name], np.array(PSI[name])
    at = np.array([40.0])
    target = law.log_shape(at, psi)[0]
    other = psi.copy()
    other[law.sets] = 0.3
    assert_allclose(law.meets(target, 40.0, other), psi[law.sets], rtol=1e-9)
    place, way = law.clock
    faster = psi.copy()
    faster[place] += way * np.log(2)
    assert_allclose(law.log_shape(2 * at, faster)[0], target, rtol=1e-12)


@pytest.mark.parametrize(
    ("name", "unreachable"),
    [("saturating", 11.3), ("falling_exponential", 1.0), ("falling_hyperbolic", 1.0)],
)
def test_a_law_that_levels_off_never_reaches_the_far_side(name, unreachable):
    assert LAWS[name].cuts_at(np.log(unreachable / 4.0), np.array(PSI[name])) == np.inf


@pytest.mark.parametrize("name", LAWS)
def test_named_parameters_give_the_curve_back(name):
    law, psi = LAWS[name], np.array(PSI[name])
    named = {key: value for key, (value, _) in law.named(np.log(4.0), psi).items()}
    n, fresh = 33.0, 4.0
    by_hand = {
        "wedge": lambda w0, K, p: (w0**p + K * n) ** (1 / p),
        "saturating": lambda fresh, gain, cuts_scale: (
            fresh * (1 + gain * (1 - np.exp(-n / cuts_scale)))
        ),
        "falling_power": lambda fresh, cuts_scale, exponent: (
            fresh * (1 + n / cuts_scale) ** -exponent
        ),
        "falling_exponential": lambda fresh, floor, cuts_scale: (
            floor + (fresh - floor) * np.exp(-n / cuts_scale)
        ),
        "falling_hyperbolic": lambda fresh, floor, cuts_scale: (
            floor + (fresh - floor) / (1 + n / cuts_scale)
        ),
    }
    assert by_hand[name](**named) == pytest.approx(reading(law, [n], fresh, psi)[0], rel=1e-12)


@pytest.mark.parametrize("name", LAWS)
def test_gradients_of_named_parameters(name):
    law, at = LAWS[name], np.array([np.log(4.0), *PSI[name]])
    for key, (value, gradient) in law.named(at[0], at[1:]).items():
        for i in range(3):
            h = np.zeros(3)
            h[i] = 1e-6
            up, down = (law.named((at + d)[0], (at + d)[1:])[key][0] for d in (h, -h))
            assert gradient[i] == pytest.approx(np.log(up / down) / 2e-6, abs=1e-7), (key, value)


def test_constant_worn_volume_gives_the_square_root():
    """From a keen edge, equal volume per cut makes the width grow with n^0.5 exactly."""
    widths = reading(LAWS["wedge"], [100.0, 400.0], 1e-6, [np.log(1e12 * 0.04), np.log(2.0)])
    assert widths[1] / widths[0] == pytest.approx(2.0, rel=1e-9)


def test_every_law_names_formula_units_range_and_source():
    for law in LAWS.values():
        assert min(len(law.formula), len(law.valid), len(law.source)) > 10
        assert set(law.units) == set(law.named(0.0, np.array(PSI[law.name])))
