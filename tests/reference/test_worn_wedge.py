"""`edgetest fit` of the worn area against plane geometry.

An edge of included angle 2α worn flat to the width w has lost a triangle of base w and height
w / (2 tan α): A = w² / (4 tan α). The areas at 10 µm stand rounded as tabulated.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.store.workspace import new_study
from edgetest.wear.curve.laws import LAWS

CUTS = np.array([0, 10, 20, 40, 80, 160])
FRESH_UM, GROWTH_UM2 = 2.0, 0.8  # invented: w² = 2² + 0.8 n, 10 µm wide at 120 cuts


@pytest.mark.parametrize(
    ("included_deg", "area_um2"), [(20, 141.78), (30, 93.30), (40, 68.69), (50, 53.61)]
)
def test_a_life_to_the_area_of_ten_micrometres_is_the_life_to_that_width(
    tmp_path, answer, included_deg, area_um2
):
    blade = {"id": "A1", "heat_treatment": "soft", "angle_per_side_deg": included_deg / 2}
    study = new_study(
        tmp_path / "wedge", "sisal_rope", "wedge", blades=[blade],
        heat_treatments=[{"id": "soft"}],
    )  # fmt: skip
    rows = [f"A1,soft,{n},{(FRESH_UM**2 + GROWTH_UM2 * n) ** 0.5:.6f}" for n in CUTS]
    log = "\n".join(["blade,heat_treatment,cuts,edge_width_um", *rows]) + "\n"
    (study.folder / "log.csv").write_text(log, encoding="utf-8")
    reading = ("--reading", "worn_area_um2", "--limit", area_um2)
    (found,) = answer("fit", study.folder, *reading)
    # The table's areas are rounded to 0.005 µm², which is 1e-4 of the life.
    assert found["life"]["cuts"] == pytest.approx(120, rel=2e-4)


def test_growth_exponents_of_the_two_wear_regimes():
    """Constant volume per cut: width as n^(1/2); constant pressure on the flat: as n."""
    keen, n = 1e-9, np.array([100.0, 1000.0])
    for power, exponent in ((2.0, 0.5), (1.0, 1.0)):
        psi = np.array([-power * np.log(keen), np.log(power)])
        width = keen * np.exp(LAWS["wedge"].log_shape(n, psi))
        assert_allclose(np.log(width[1] / width[0]) / np.log(10), exponent, rtol=1e-6)
