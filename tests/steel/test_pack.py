import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.heat_schedule import Heat, carbon_profile, depth_to_carbon
from edgetest.steel.pack import calibrate
from tests.steel.packed import PACK, run


def test_coupon_of_known_truth_gives_its_factor_back():
    heats = (Heat(900, 6, "carburising"),)
    x, c = carbon_profile(heats, 6.0, core_pct=0.15, diffusivity_name="wells_mehl", factor=0.7)
    depth = float(depth_to_carbon(x, c[None], 0.4, 3.0)[0])
    found = calibrate(heats, 6.0, depth, 0.03, core_pct=0.15)
    assert found.factors["wells_mehl"] == pytest.approx(0.7, rel=1e-3)
    assert found.relative_u == pytest.approx(2 * 0.03 / depth)


def test_coupon_narrows_the_case():
    coupon = calibrate(PACK[:1], 6.0, 0.8, 0.03, core_pct=0.2, nodes=100)
    before, after = run(thickness_mm=6.0), run(thickness_mm=6.0, calibration=coupon)
    width = lambda e: e.high - e.low  # noqa: E731
    assert width(after.case_depth_mm) < 0.75 * width(before.case_depth_mm)
    assert "diffusivity_spread" not in codes(after.doubts)


def test_a_poorly_read_coupon_narrows_less():
    sharp, blunt = (
        run(
            thickness_mm=6.0,
            calibration=calibrate(PACK[:1], 6.0, 0.8, u, core_pct=0.2, nodes=60),
        ).case_depth_mm
        for u in (0.01, 0.15)
    )
    assert blunt.high - blunt.low > 1.2 * (sharp.high - sharp.low)


def test_impossible_coupon_is_refused():
    with pytest.raises(UnusableInput, match="no diffusivity gives"):
        calibrate((Heat(850, 0.01, "carburising"),), 6.0, 2.5, 0.1, core_pct=0.2, nodes=40)
