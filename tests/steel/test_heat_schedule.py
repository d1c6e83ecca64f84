import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.steel.heat_schedule import PUBLISHED, Heat, Plate, carbon_profile, depth_to_carbon
from tests.steel.packed import PACK


@pytest.mark.parametrize("name", PUBLISHED)
def test_more_hours_never_less_carbon(name):
    cores = [
        carbon_profile((Heat(900, h, "carburising"),), 2.0, core_pct=0.2, diffusivity_name=name,
                       nodes=60)[1]
        for h in (1, 3, 9)
    ]  # fmt: skip
    assert (np.diff(cores, axis=0) >= -1e-9).all()


@pytest.mark.parametrize("name", PUBLISHED)
def test_hotter_is_deeper(name):
    profiles = [
        carbon_profile((Heat(t, 4, "carburising"),), 2.0, core_pct=0.2, diffusivity_name=name,
                       nodes=60)[1]
        for t in (850, 900, 950)
    ]  # fmt: skip
    assert (np.diff(profiles, axis=0) >= -1e-9).all()


def test_sealed_heat_deepens_the_case_and_lowers_its_surface():
    x, packed = carbon_profile(PACK[:1], 6.0, core_pct=0.2)
    _, cycled = carbon_profile((PACK[0], Heat(900, 4)), 6.0, core_pct=0.2)
    assert cycled[0] < packed[0]
    assert np.interp(1.5, x, cycled) > np.interp(1.5, x, packed)


def test_depth_to_carbon_reads_the_crossing():
    x = np.linspace(0, 1, 101)
    carbon = np.stack([1.0 - x, 0.0 * x, 0.0 * x + 1])
    assert_allclose(depth_to_carbon(x, carbon, 0.445, 1.0), [0.555, 0.0, 1.0], atol=1e-12)


def test_a_skin_may_reach_the_middle_and_no_further():
    assert Plate(4.0, 0.2, skin_mm=2.0).skin_mm == 2.0
    for skin in (2.001, -0.001):
        with pytest.raises(UnusableInput, match="less than half the section"):
            Plate(4.0, 0.2, skin_mm=skin)
