"""The second world of worn edges against what mechanics say of it by hand."""

from math import cos, radians, tan

import numpy as np
import pytest

from tests.benchmarks import grind_worlds_apart as apart
from tests.benchmarks.worlds.other_grind import WAYS, Grind, drawn_wear, wanted_ratio

THIN, BLUNT = Grind(13.0, 0.4), Grind(21.0, 0.4)
TANGENTS = tan(radians(21)) / tan(radians(13))
WIDTH_UM = 20.0


def blunt_over_thin(way, seed=3):
    wear = drawn_wear(way, np.random.default_rng(seed))
    return wear, wanted_ratio(wear, BLUNT, THIN, WIDTH_UM)


@pytest.mark.parametrize("way", WAYS)
def test_the_reference_reads_its_drawn_width_after_the_whole_test(way):
    wear = drawn_wear(way, np.random.default_rng(5))
    lost = wear.start_um if way == "grit floor" else 0.0  # hidden under what the grit leaves
    assert wear.width_um(1.0, Grind()) == pytest.approx(wear.end_um - lost)
    assert wear.width_um(1e-9, Grind()) == pytest.approx(wear.start_um, abs=0.1)


def test_height_lost_at_a_steady_rate_makes_life_go_as_one_over_the_tangent():
    assert blunt_over_thin("grit floor")[1] == pytest.approx(1 / TANGENTS)
    assert blunt_over_thin("thickness, height lost")[1] == pytest.approx(1 / TANGENTS)


def test_a_radius_read_along_the_bevel_favours_the_blunt_edge_and_from_above_hardly_either():
    wear, ratio = blunt_over_thin("rounding, read along the bevel")
    assert ratio == pytest.approx(TANGENTS ** (1 / wear.growth_power))
    wear, ratio = blunt_over_thin("rounding, read from the edge")
    cosines = cos(radians(13)) / cos(radians(21))
    assert ratio == pytest.approx(cosines ** (1 / wear.growth_power))


def test_chips_favour_the_blunt_edge_only_where_they_deepen_faster_than_the_tangent():
    for seed in range(6):
        wear, ratio = blunt_over_thin("chipping", seed)
        power = (wear.slender_power - 1) / wear.growth_power
        assert ratio == pytest.approx(TANGENTS**power)


def test_a_thicker_blade_lasts_as_its_load_to_the_drawn_power():
    thick = Grind(13.0, 0.8)
    for way in ("thickness, height lost", "thickness, rounding"):
        wear = drawn_wear(way, np.random.default_rng(2))
        ratio = wanted_ratio(wear, thick, THIN, WIDTH_UM)
        assert ratio == pytest.approx(0.5**wear.load_power)


@pytest.mark.parametrize("way", WAYS)
def test_a_grind_favours_whom_its_cell_says(way):
    for favour, sign in (("with", 1), ("against", -1)):
        study = apart.apart_study(way, f"4° a side apart {favour} steel 1.3", 2)
        ((pair, as_ground),) = study.true_as_ground.items()
        assert study.true_steel[pair] == pytest.approx(1.3)
        assert sign * (as_ground - 1.3) > 0
