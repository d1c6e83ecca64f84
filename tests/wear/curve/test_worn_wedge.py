"""The worn wedge: angles, uncertainties, and lives on metal lost instead of width."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.wear.curve.worn_wedge import (
    log_area_angle_u,
    width_of_worn_area,
    worn_area,
)
from tests.wear.columns import fit_study


def test_area_is_half_base_times_height():
    w, angle = np.array([3.0, 8.0]), np.array([24.0, 37.0])
    height = w / (2 * np.tan(np.radians(angle / 2)))
    assert_allclose(worn_area(w, angle), w * height / 2, rtol=1e-14)
    assert_allclose(width_of_worn_area(worn_area(w, angle), angle), w, rtol=1e-14)


def test_angle_uncertainty_is_the_derivative():
    step = 1e-5
    up, down = (np.log(worn_area(5.0, 30.0 + d)) for d in (step, -step))
    assert log_area_angle_u(30.0, 1.0) == pytest.approx(abs(up - down) / (2 * step), rel=1e-8)


def test_lives_on_metal_lost_forgive_the_angle():
    """Equal metal lost per cut at 24° and 40°: equal lives on area, not on width."""
    angle, n = {"A": 24.0, "B": 40.0}, np.array([0, 20, 40, 80, 160, 320.0])
    area = 12.0 + 0.5 * n
    rows = [
        (b, c, width_of_worn_area(a, angle[b])) for b in "AB" for c, a in zip(n, area, strict=True)
    ]
    blade, cuts, value = (list(column) for column in zip(*rows, strict=True))
    value = np.array(value) * np.exp(0.01 * np.random.default_rng(1).standard_normal(12))
    limit = width_of_worn_area(120.0, [24.0, 40.0])
    limit_u = log_area_angle_u([24.0, 40.0], [0.5, 0.5]) / 2
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
