"""The world of worn wedges against what geometry says of it by hand."""

from math import radians, tan

import numpy as np
import pytest

from tests.benchmarks.worlds import ground, wedge

THIN, THICK = wedge.Grind(13.0, 0.3), wedge.Grind(19.0, 0.6)


def lives(law, seed=4):
    rate = wedge.LAWS[law](np.random.default_rng(seed))
    return [wedge.life(1.0, 2.0, 12.0, grind, rate) for grind in (THIN, THICK)]


def test_at_an_even_load_the_life_is_the_area_of_the_flat():
    assert lives("load")[0] == pytest.approx((12**2 - 2**2) / (4 * tan(radians(13))))


def test_at_an_even_pressure_the_life_is_the_height_lost():
    height = (12 - 2) / (2 * tan(radians(13)))
    assert lives("pressure")[0] == pytest.approx(12 * height)


def test_the_laws_disagree_about_which_grind_lasts_longer():
    tangents = tan(radians(19)) / tan(radians(13))
    made = {law: first / second for law, (first, second) in ((w, lives(w)) for w in wedge.LAWS)}
    assert made["load"] == pytest.approx(tangents)
    assert made["force"] > tangents
    assert made["yielding"] < 1


@pytest.mark.parametrize("law", wedge.LAWS)
def test_at_one_grind_lives_go_as_the_steels(law):
    rate = wedge.LAWS[law](np.random.default_rng(1))
    widths = wedge.width_after(np.array([30.0, 60.0]), 50.0, 2.0, 12.0, THIN, rate)
    longer = wedge.width_after(np.array([45.0, 90.0]), 75.0, 2.0, 12.0, THIN, rate)
    assert widths == pytest.approx(longer)
    at = wedge.life(50.0, 2.0, widths[1], THIN, lambda w, g: rate(w * widths[1] / 12.0, g))
    assert at == pytest.approx(60.0, rel=5e-3)  # the grid of widths is that coarse


@pytest.mark.parametrize(("favour", "sign"), [("with", 1), ("against", -1)])
def test_a_grind_favours_whom_its_cell_says(favour, sign):
    for seed in range(0, 16, 2):
        study = ground.ground_study(f"4 to 8° apart {favour} steel 1.3", seed)
        ((pair, as_ground),) = study.true_as_ground.items()
        assert study.true_steel[pair] == pytest.approx(1.3)
        assert sign * (as_ground - 1.3) > 0
