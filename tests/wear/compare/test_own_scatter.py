"""Each heat treatment's own scatter, where lives are known to intervals, against plain numbers."""

from itertools import product
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
    assert alike.sd_log_life < 0.04  # none between these ends have more
    assert alike.sd_at_most
    assert apart.sd_log_life == pytest.approx(0.445, abs=0.01)
    assert not apart.sd_at_most
    assert alike.to_dict()["sd_at_most"]
    # the interval takes one scatter for both, which lies between
    assert alike.sd_log_life < alike.sd_taken < apart.sd_log_life
    assert alike.sd_log_life < apart.sd_taken < apart.sd_log_life


def test_where_all_lives_are_known_it_is_their_standard_deviation():
    known = np.log([195, 195, 195, 200, 190, 220])
    sd, at_most = own_scatter(known, known + 1e-4)  # intervals that add nothing
    assert sd == pytest.approx(known.std(ddof=1), rel=1e-3)
    assert not at_most


def test_lives_between_the_same_two_stages_leave_what_the_stages_leave():
    sd, at_most = own_scatter([log(175)] * 3, [log(200)] * 3)
    assert at_most
    assert sd == pytest.approx(log(200 / 175) / 3**0.5)  # one at one end, two at the other


@pytest.mark.parametrize("sd", [0.05, 0.15, 0.3])
@pytest.mark.parametrize("step", [25, 50, 100])
def test_what_is_said_to_be_the_most_is_no_less_than_the_lives_had(sd, step):
    rng, said = np.random.default_rng(7), 0
    for n in (3, 4, 6, 12) * 15:
        life = 250 * np.exp(sd * rng.standard_normal(n))
        stage = np.floor(life / step) * step
        with np.errstate(divide="ignore"):
            most, at_most = own_scatter(np.log(stage), np.log(stage + step))
        if at_most:
            said += 1
            assert most >= np.log(life).std(ddof=1)
    assert said > 0


def test_the_greatest_scatter_is_that_of_every_choice_of_ends():
    rng = np.random.default_rng(3)
    for _ in range(40):
        low = rng.uniform(5, 5.2, 5)
        high = low + rng.uniform(0.3, 0.6, 5)
        most, at_most = own_scatter(low, high)
        assert at_most
        every = max(np.std(ends, ddof=1) for ends in product(*zip(low, high, strict=True)))
        assert most == pytest.approx(every)


def test_a_life_without_an_end_may_lie_anywhere():
    assert own_scatter([log(175)] * 4, [*[log(200)] * 3, np.inf]) == (None, False)


def test_of_one_life_with_both_ends_nothing_is_told():
    assert own_scatter([log(100), log(100)], [log(125), np.inf]) == (None, False)
    assert own_scatter([log(100)] * 3, [log(100)] * 3) == (None, False)
