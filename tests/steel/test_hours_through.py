import json

import numpy as np
import pytest

from edgetest.steel.heat_schedule import Heat
from edgetest.steel.pack import calibrate
from tests.steel.packed import PACK, hours, rng, run


def test_coupon_scales_the_hours():
    coupon = calibrate(PACK[:1], 6.0, 0.5, 1e-6, core_pct=0.2, nodes=60)
    quiet = {
        "core_pct": 0.2, "target_pct": 0.45, "temperature_sd_c": 0, "surface_sd_pct": 0,
        "samples": 12,
    }  # fmt: skip
    published = hours(1.0, 900, rng=rng(), **quiet).by_diffusivity
    own = hours(1.0, 900, rng=rng(), calibration=coupon, **quiet).by_diffusivity
    for name, factor in coupon.factors.items():
        # Marched hours are read between 120 times: 2 %.
        assert own[name] == pytest.approx(published[name] / factor, rel=0.02)


def test_a_pack_poorer_than_the_steel_never_gets_there():
    found = hours(
        1.0, 900, core_pct=0.45, target_pct=0.5, surface_pct=0.55, surface_sd_pct=0.3,
        diffusivities=("agren",), samples=200, level=0.5, rng=rng(),
    )  # fmt: skip
    # 43 % of the surfaces stay below the target, so the upper quartile has no end.
    assert np.isinf(found.hours.high)
    assert np.isfinite(found.hours.value)


@pytest.mark.parametrize("names", [("callister_later",), ("agren",)])
def test_hours_through_agree_with_the_case(names):
    quiet = {
        "core_pct": 0.2, "diffusivities": names, "temperature_sd_c": 0, "surface_sd_pct": 0,
        "samples": 1, "rng": rng(),
    }  # fmt: skip
    needed = hours(1.5, 900, target_pct=0.45, **quiet).hours.value
    core = [
        run((Heat(900, h, "carburising"),), 1.5, **quiet, core_sd_pct=0, nodes=150).edge_carbon_pct
        for h in (0.98 * needed, 1.02 * needed)
    ]
    assert core[0].value < 0.45 < core[1].value


def test_hours_grow_with_the_square_of_thickness():
    quiet = {"core_pct": 0.2, "target_pct": 0.45, "samples": 60}
    thin = hours(1.0, 900, rng=rng(), **quiet).hours.value
    thick = hours(3.0, 900, rng=rng(), **quiet).hours.value
    assert thick / thin == pytest.approx(9, rel=0.02)


def test_hours_have_no_upper_end_where_the_pack_may_never_reach_it():
    found = hours(
        1.0, 900, core_pct=0.2, target_pct=0.8, surface_pct=0.85, surface_sd_pct=0.1, rng=rng()
    )
    assert found.to_dict()["hours"]["high"] is None
    json.dumps(found.to_dict(), allow_nan=False)
