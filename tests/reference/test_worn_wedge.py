"""The worn wedge and Archard's law against plane geometry and a published exercise."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.worn_wedge import archard_volume, recession, worn_area


@pytest.mark.parametrize(
    ("included_deg", "height", "area"),
    [(20, 28.36, 141.78), (30, 18.66, 93.30), (40, 13.74, 68.69), (50, 10.72, 53.61)],
)
def test_wedge_worn_to_ten_micrometres(included_deg, height, area):
    """h = w / (2 tan α), A = w² / (4 tan α), rounded as tabulated (plane geometry)."""
    assert recession(10.0, included_deg) == pytest.approx(height, abs=0.005)
    assert worn_area(10.0, included_deg) == pytest.approx(area, abs=0.005)


def test_bearing_ring():
    """University of Twente, Tribology tutorial 3 (wear, solutions), exercise 2.

    Specific wear rate 1e-7 mm³/(N m) under 100 N: a ring of radius 30 mm and width 20 mm has
    lost 40 µm, 150.796 mm³, after 1.508e7 m.
    """
    hardness_mpa = 2000.0  # any: the specific wear rate is k / H
    coefficient = 1e-7 / 1000 * hardness_mpa
    volume = archard_volume(coefficient, 100.0, 1.508e7 * 1000, hardness_mpa)
    assert volume == pytest.approx(150.796, rel=1e-4)
    assert volume == pytest.approx(0.040 * 2 * np.pi * 30 * 20, rel=1e-4)


def test_growth_exponents_of_the_two_wear_regimes():
    """Constant volume per cut: width as n^(1/2); constant pressure on the flat: as n."""
    keen, n = 1e-9, np.array([100.0, 1000.0])
    for power, exponent in ((2.0, 0.5), (1.0, 1.0)):
        width = LAWS["wedge"].value(n, keen, [-power * np.log(keen), np.log(power)])
        assert_allclose(np.log(width[1] / width[0]) / np.log(10), exponent, rtol=1e-6)
