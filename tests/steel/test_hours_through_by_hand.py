"""Hours of a pack grow with the square of the thickness, whatever the law of diffusion?"""

import pytest

from tests.steel.packed import hours


@pytest.mark.parametrize("name", ["agren", "wells_mehl"])
def test_four_times_as_thick_takes_sixteen_times_as_long(name):
    known = {"diffusivities": (name,), "samples": 2, "temperature_sd_c": 0, "surface_sd_pct": 0}
    thin, thick = (hours(mm, 950, target_pct=0.8, **known).hours.value for mm in (6.0, 24.0))
    assert thick / thin == pytest.approx(16, rel=0.02)
