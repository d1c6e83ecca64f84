"""Which blade reads one factor off all others at every stage: worked on invented edges."""

import numpy as np
import pytest

from edgetest.study.other_scale import odd_runs

STAGES = (0, 10, 25, 50, 100, 200)
LIVES = {"A": 100, "B": 130, "C": 90, "D": 160, "E": 140}


def edges(lives=LIVES, *, fresh=10.0, own=None, times=None, power=2):
    """Widths of edges that wear from `fresh` to 60; `own` fresh edges, `times` for a slip."""
    for name, life in lives.items():
        w0 = (own or {}).get(name, fresh)
        for cuts in STAGES:
            width = (w0**power + (60**power - fresh**power) * cuts / life) ** (1 / power)
            yield name, name, float(cuts), width * (times or {}).get(name, 1.0)


@pytest.mark.parametrize(
    ("times", "words"), [(1 / 20, "1/17"), (1 / 25.4, "1/21"), (10, "12 times")]
)
def test_a_blade_in_divisions_or_another_unit_is_told_with_its_factor(times, words):
    (one,) = odd_runs(edges(times={"C": times}))
    assert (one.run, one.stages) == ("C", len(STAGES))
    assert one.factor == pytest.approx(times, rel=0.35)
    assert one.words == words


def test_two_of_five_are_told_and_of_half_or_more_nobody_knows():
    assert [one.run for one in odd_runs(edges(times={"A": 0.05, "D": 0.05}))] == ["A", "D"]
    four = {name: LIVES[name] for name in "ABCD"}
    assert odd_runs(edges(four, times={"A": 0.05, "D": 0.05})) == ()
    two = {name: LIVES[name] for name in "AB"}
    assert odd_runs(edges(two, times={"A": 0.05})) == ()


@pytest.mark.parametrize("own", [30.0, 1.0])
def test_an_edge_left_coarse_or_keen_that_converges_is_no_slip_of_a_unit(own):
    assert odd_runs(edges(own={"C": own})) == ()


def test_a_blade_that_lasts_ten_times_as_long_from_a_like_edge_is_no_slip():
    assert odd_runs(edges({**LIVES, "C": 1000})) == ()


def test_a_keen_edge_beside_unworn_ones_is_not_told_yet():
    lives = {name: 10 * life for name, life in LIVES.items()} | {"C": 1e9}
    unworn = [each for each in edges(lives, own={"C": 1.0}) if each[2] <= 10]
    assert odd_runs(unworn) == ()


def test_honest_tests_that_scatter_far_are_hardly_ever_asked():
    rng, asked = np.random.default_rng(3), 0
    for _ in range(200):
        lives = {k: (150 + 300 * (k > 3)) * np.exp(0.5 * rng.standard_normal()) for k in range(8)}
        own = {k: 10 * np.exp(0.5 * rng.standard_normal()) for k in range(8)}
        asked += bool(odd_runs(edges(lives, own=own, power=1.5)))
    assert asked <= 1
