"""The worn wedge: angles, uncertainties, and lives on metal lost instead of width."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.wear.curve.worn_wedge import (
    log_area_angle_u,
    recession,
    volume_per_cut,
    width_limits,
    width_of_worn_area,
    worn_area,
    worn_area_estimate,
)
from tests.wear.columns import fit_study


def test_area_is_half_base_times_height():
    w, angle = np.array([3.0, 8.0]), np.array([24.0, 37.0])
    assert_allclose(worn_area(w, angle), w * recession(w, angle) / 2, rtol=1e-14)
    assert_allclose(width_of_worn_area(worn_area(w, angle), angle), w, rtol=1e-14)


def test_angle_uncertainty_is_the_derivative():
    step = 1e-5
    up, down = (np.log(worn_area(5.0, 30.0 + d)) for d in (step, -step))
    assert log_area_angle_u(30.0, 1.0) == pytest.approx(abs(up - down) / (2 * step), rel=1e-8)
    area = worn_area_estimate(10.0, 0.3, 30.0, 1.5)
    spread = np.hypot(0.06, np.radians(1.5) / np.sin(np.radians(30)))
    assert np.log(area.high / area.low) / 2 == pytest.approx(1.959964 * spread, rel=1e-6)


def test_width_law_and_volume_rate_agree():
    """w² = w0² + K n loses K / (4 tan α) × length at every cut, at whatever width."""
    rate, angle, length = 0.04, 30.0, 50_000.0
    w = np.sqrt(4 + rate * np.array([0.0, 100.0, 101.0]))
    lost = worn_area(w, angle) * length
    assert lost[2] - lost[1] == pytest.approx(volume_per_cut(rate, angle, length), rel=1e-9)
    assert lost[1] - lost[0] == pytest.approx(100 * (lost[2] - lost[1]), rel=1e-9)


def test_lives_on_metal_lost_forgive_the_angle():
    """Equal metal lost per cut at 24° and 40°: equal lives on area, not on width."""
    angle, n = {"A": 24.0, "B": 40.0}, np.array([0, 20, 40, 80, 160, 320.0])
    area = 12.0 + 0.5 * n
    rows = [
        (b, c, width_of_worn_area(a, angle[b])) for b in "AB" for c, a in zip(n, area, strict=True)
    ]
    blade, cuts, value = (list(column) for column in zip(*rows, strict=True))
    value = np.array(value) * np.exp(0.01 * np.random.default_rng(1).standard_normal(12))
    limit, limit_u = width_limits(120.0, [24.0, 40.0], [0.5, 0.5])
    fit = fit_study(
        blade,
        cuts,
        value,
        power=2.0,
        limit=dict(zip("AB", limit, strict=True)),
        limit_relative_u=dict(zip("AB", limit_u, strict=True)),
    )
    assert_allclose([f.life.cuts for f in fit.blades], (120 - 12) / 0.5, rtol=0.03)
    on_width = fit_study(blade, cuts, value, power=2.0, limit=10.0)
    assert on_width["A"].life.cuts > 1.5 * on_width["B"].life.cuts
    assert fit["A"].life.log_life_se > on_width["A"].life.log_life_se


@pytest.mark.parametrize("angle", [0.0, 180.0, -20.0])
def test_refuses_what_is_no_included_angle(angle):
    with pytest.raises(UnusableInput, match="give the included angle"):
        worn_area(5.0, angle)
