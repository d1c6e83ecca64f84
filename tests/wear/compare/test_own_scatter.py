"""Each heat treatment's own scatter, where lives are known to intervals, against plain numbers."""

from math import log

import numpy as np
import pytest

from edgetest.wear.compare.compare_lives import compare_lives
from edgetest.wear.compare.own_scatter import own_scatter
from edgetest.wear.compare.replicates import BladeLives

ALIKE = [(195, 205), (195, 205), (195, 205), (200, 210), (190, 200), (195, 205)]
APART = [(120, 130), (350, 360), (250, 260), (170, 180), (400, 410), (220, 230)]


def test_two_heat_treatments_of_equal_numbers_keep_a_scatter_each():
    """The middles' own standard deviations are 0.016 and 0.445."""
    low, high = np.log(np.array([*ALIKE, *APART], float)).T
    names = [f"b{n}" for n in range(12)]
    lives = BladeLives(names, ["alike"] * 6 + ["apart"] * 6, low, high)
    alike, apart = compare_lives(lives).groups
    assert alike.sd_log_life < 0.03
    assert alike.sd_at_most
    assert apart.sd_log_life == pytest.approx(0.445, abs=0.01)
    assert not apart.sd_at_most
    assert alike.to_dict()["sd_at_most"]


def test_where_all_lives_are_known_it_is_their_standard_deviation():
    known = np.log([195, 195, 195, 200, 190, 220])
    sd, at_most = own_scatter(known, known + 1e-4)  # intervals that add nothing
    assert sd == pytest.approx(known.std(ddof=1), rel=1e-3)
    assert not at_most


def test_lives_between_the_same_two_stages_leave_what_the_stages_leave():
    sd, at_most = own_scatter([log(175)] * 3, [log(200)] * 3)
    assert at_most
    assert 0.5 * log(200 / 175) < sd < log(200 / 175)


def test_of_one_life_with_both_ends_nothing_is_told():
    assert own_scatter([log(100), log(100)], [log(125), np.inf]) == (None, False)
    assert own_scatter([log(100)] * 3, [log(100)] * 3) == (None, False)
