"""A border followed: the smoother against dense matrices, the least path by exhaustion."""

from itertools import product

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.border_path import (
    Border,
    least_path,
    robust_whittaker,
    sound_line,
    steady_track,
    whittaker,
)
from edgetest.photo.apex.straighten import Track


@pytest.mark.parametrize("n", [5, 6, 40])
@pytest.mark.parametrize("wave", [5.0, 40.0])
def test_the_smoother_solves_its_normal_equations(n, wave):
    """(W + (wave / 2 pi)⁴ D'D) z = W y with D the second differences."""
    rng = np.random.default_rng(n)
    values, weight = rng.standard_normal(n), rng.uniform(0.2, 2, n)
    second = np.diff(np.eye(n), 2, axis=0)
    stiff = (wave / (2 * np.pi)) ** 4 * second.T @ second
    expected = np.linalg.solve(np.diag(weight) + stiff, weight * values)
    assert_allclose(whittaker(values, weight, wave), expected, rtol=1e-3, atol=1e-4)


def test_half_of_a_wave_is_kept_and_a_line_whole():
    x = np.arange(2000.0)
    wave = np.sin(2 * np.pi * x / 60)
    kept = whittaker(wave, np.ones(x.size), 60.0)[500:1500] @ wave[500:1500]
    assert kept / (wave[500:1500] @ wave[500:1500]) == pytest.approx(0.5, abs=0.01)
    assert_allclose(whittaker(3 - 0.2 * x, np.ones(x.size), 60.0), 3 - 0.2 * x, atol=1e-3)
    assert_allclose(whittaker(np.array([1.0, 2, 6]), np.array([1.0, 1, 0]), 9.0), 1.5)


def test_the_sound_line_is_deaf_to_damage():
    rng = np.random.default_rng(2)
    x = np.arange(900.0)
    true = 12 + 0.004 * x + 0.8 * np.sin(2 * np.pi * x / 900)
    values = true + 0.1 * rng.standard_normal(x.size)
    values[300:330] -= 8
    values[600:640] += 5
    found = sound_line(values, np.ones(x.size))
    assert_allclose(found[20:-20], true[20:-20], atol=0.15)
    weight = np.ones(x.size)
    weight[700:720] = 0
    values[700:720] = -50
    assert_allclose(sound_line(values, weight)[20:-20], true[20:-20], atol=0.15)
    plain = whittaker(values, weight, 200.0)
    near = robust_whittaker(values, weight, true, (200.0,))
    assert np.abs(near - true)[20:-20].max() < 0.3 * np.abs(plain - true)[20:-20].max()


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("jump", [0.05, 0.4, 2.0])
def test_the_path_costs_no_more_than_any_other(seed, jump):
    cost = np.random.default_rng(seed).random((6, 4))

    def total(columns):
        steps = np.abs(np.diff(columns)).sum()
        return sum(cost[row, column] for row, column in enumerate(columns)) + jump * steps

    # Rows before the first and after the last are copies of these; give the ends no choice.
    cost[0, 1:], cost[-1, :-1] = 50, 50
    rows, path = least_path(cost, jump, np.ones(6, bool))
    assert rows.tolist() == list(range(6))
    least = min(total(columns) for columns in product(range(4), repeat=6))
    assert total(path) == pytest.approx(least, abs=1e-5)


def test_pieces_that_nobody_asks_for_are_left_out():
    cost = np.ones((3000, 8))
    cost[:, 3] = 0
    cost[1500:, 3], cost[1500:, 5] = 1, 0
    asked = np.zeros(3000, bool)
    asked[[10, 2990]] = True
    rows, path = least_path(cost, 0.3, asked)
    assert {10, 2990} <= set(rows)
    assert rows.size < 3000
    assert rows.max() < 3000
    assert np.all(path[rows < 1400] == 3)
    assert np.all(path[rows > 1600] == 5)


def test_light_is_read_outward_of_the_line():
    bright = np.tile(np.arange(30.0), (4, 1)) + 100 * np.arange(4)[:, None]
    line = np.array([2.0, 2.4, 2.6, 3.0])
    border = Border(line, 0 * line, bright, line > 0, line < 0, 10)
    assert_allclose(border.light(np.zeros(4)), 100 * np.arange(4) + [12, 12, 13, 13])
    assert_allclose(border.light(1.0, 3.0), 100 * np.arange(4) + 12 + np.array([2, 2, 3, 3]))
    assert_allclose(border.light(np.full(4, 90.0)), 100 * np.arange(4) + 29)


def test_the_track_between_blocks_runs_straight_on():
    count = 60
    s = np.arange(count) * 4 + 2.0
    points = np.stack([50 + 0.3 * s, s], axis=1)
    normal = np.tile([1.0, -0.3] / np.hypot(1, 0.3), (count, 1))
    found = steady_track(Track(s, points, normal), 4)
    assert found.s.size == 4 * count
    assert_allclose(np.diff(found.s), 1)
    inner = slice(4, -4)
    # A pixel of the track lies a quarter of a block on; the block's middle between its pixels.
    place = np.arange(4 * count) - 1.5 + 2
    assert_allclose(found.centre_rc[inner, 1], place[inner], atol=1e-3)
    assert_allclose(found.centre_rc[inner, 0], 50 + 0.3 * place[inner], atol=1e-3)
    assert_allclose(found.normal_rc[inner], normal[:1] + np.zeros((4 * count - 8, 2)), atol=1e-3)
