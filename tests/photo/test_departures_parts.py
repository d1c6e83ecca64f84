"""Spread, memory and parts of departures: hand-made series, limits from both sides."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.departures import (
    Departure,
    Stretch,
    _part,
    edge_covariance,
    edge_spread,
    find_departures,
)


def test_a_spread_is_the_median_departure_of_what_is_sound():
    e = np.r_[np.tile([0.9, 1.1], 30), np.full(40, 50.0)]
    sound = np.arange(100) < 60
    spread, reach = edge_spread(e, sound)
    assert spread == pytest.approx(0.14826)
    assert reach == 1.0  # neighbours err the other way
    assert edge_spread(e, np.arange(100) < 19) == (np.inf, 1.0)
    assert np.isfinite(edge_spread(e, np.arange(100) < 20)[0])
    assert edge_spread(np.zeros(50), np.ones(50, bool)) == (1e-3, 1.0)


def test_memory_is_the_sum_of_what_is_shared_over_a_tenth():
    """In fours: lags 1, 2 and 3 share 3/4 ... in the middle of long runs of the same sign."""
    blocks = np.repeat(np.tile([1.0, -1.0], 50), 4)
    n = blocks.size
    shares = [float(np.mean(blocks[k:] * blocks[: n - k])) for k in (1, 2)]
    assert shares == pytest.approx([0.5, 0.0], abs=0.01)
    _, reach = edge_spread(blocks, np.ones(n, bool))
    assert reach == pytest.approx(1 + 2 * shares[0])
    # An outlier counts for three spreads at most.
    loud = blocks.copy()
    loud[10] = 1e6
    assert edge_spread(loud, np.ones(n, bool))[1] == pytest.approx(reach, abs=0.1)


def test_a_covariance_is_that_of_the_edge_tapered():
    """Parzen's window: 1 at no lag, 1/4 at half of the last one; at lag 0 a floor besides."""
    rng = np.random.default_rng(1)
    noise = rng.standard_normal(4000)
    spread = edge_spread(noise, np.ones(4000, bool))[0]
    found = edge_covariance(noise, np.ones(4000, bool), spread, 1.0)
    assert found.size == 20
    assert found[0] == pytest.approx(np.var(noise) + 0.01 * spread**2 + 0.05**2, rel=0.03)
    assert np.abs(found[1:]).max() < 0.06
    slow = np.sin(2 * np.pi * np.arange(4000) / 400)
    wave = edge_covariance(slow, np.ones(4000, bool), 5.0, 10.0)
    assert wave.size == 40
    assert wave[20] == pytest.approx(0.25 * 0.5 * np.cos(2 * np.pi * 20 / 400), rel=0.01)
    assert wave[10] == pytest.approx((1 - 6 / 16 * 0.75) * 0.5 * np.cos(2 * np.pi / 40), rel=0.01)
    assert wave[30] == pytest.approx(2 / 64 * 0.5 * np.cos(2 * np.pi * 30 / 400), rel=0.01)
    assert edge_covariance(slow, np.ones(4000, bool), 5.0, 90.0).size == 150
    assert edge_covariance(slow[:90], np.ones(90, bool), 5.0, 90.0).size == 30
    assert (
        np.linalg.eigvalsh(
            np.array([[wave[abs(i - j)] for j in range(40)] for i in range(40)])
        ).min()
        > 0
    )


def test_clipped_to_three_spreads_a_covariance_forgets_damage():
    quiet = np.tile([1.0, -1.0, 1.0, 1.0, -1.0, -1.0], 100)
    loud = quiet.copy()
    loud[300] = 1e5
    one, other = (edge_covariance(e, np.ones(600, bool), 1.0, 1.0) for e in (quiet, loud))
    assert_allclose(other, one, atol=0.05)


def bump(at, length, height, count=400):
    x = np.arange(float(count))
    return height * np.clip(1 - (2 * (x - at) / length) ** 2, 0, None)


def rough(count=400, size=0.02, seed=1):
    return size * np.random.default_rng(seed).standard_normal(count)


def sound_but(*spans, count=400):
    good = np.ones(count, bool)
    for first, last in spans:
        good[first:last] = False
    return good


@pytest.mark.parametrize("sign", [-1, 1])
def test_a_departure_is_found_where_it_lies_and_mirrored(sign):
    e = sign * bump(200, 40, 6) + rough()
    (found,) = find_departures(e, sound_but((170, 230)), 1.5)
    assert found.sign == sign
    assert found.peak == pytest.approx(200, abs=3)
    assert found.low == pytest.approx(181, abs=2)
    assert found.high == pytest.approx(220, abs=2)
    (back,) = find_departures(e[::-1], sound_but((170, 230)), 1.5)
    assert (399 - back.low, 399 - back.high) == (found.high - 1, found.low - 1)


@pytest.mark.parametrize(("height", "found"), [(0.3, 0), (0.55, 1)])
def test_a_departure_is_told_from_the_camera_s_sampling(height, found):
    """0.4 px, however smooth the edge."""
    e = bump(200, 60, height) + rough(size=0.002)
    assert len(find_departures(e, sound_but((165, 235)), 1.5)) == found


@pytest.mark.parametrize(("height", "found"), [(4.5, 0), (5.5, 1)])
def test_a_departure_stands_out_by_five_spreads(height, found):
    """Of an edge alike over some 30 px, whose waves are 1 px high."""
    from scipy.ndimage import gaussian_filter1d

    wave = gaussian_filter1d(np.random.default_rng(2).standard_normal(4000), 15)
    wave /= 1.4826 * np.median(np.abs(wave))
    wave[1900:2100] = 0
    e = wave + bump(2000, 60, height, 4000)
    assert len(find_departures(e, sound_but((1900, 2100), count=4000), 1.5)) == found


def height_of(*tops):
    """Straight flanks between values at every tenth sample."""
    return np.interp(np.arange(10 * len(tops) - 9), 10 * np.arange(len(tops)), tops)


@pytest.mark.parametrize(("valley", "parts"), [(3.1, 2), (3.3, 1)])
def test_damage_is_parted_where_it_comes_back_to_four_fifths_of_the_lesser(valley, parts):
    """Tops of 6 and 4 px: a valley under 3.2 px parts them."""
    found = _part(height_of(0, 6, valley, 4, 0), 0, 41, -1, 0.01, 0.8)
    assert len(found) == parts
    assert [one.peak for one in found] == ([10, 30] if parts == 2 else [10])
    if parts == 2:
        assert found[0].high == found[1].low == 20
        assert (found[0].low, found[1].high) == (1, 40)
    turned = _part(height_of(0, 4, valley, 6, 0), 0, 41, 1, 0.01, 0.8)
    assert [one.peak for one in turned] == ([10, 30] if parts == 2 else [30])
    assert {one.sign for one in turned} == {1}


def test_the_lesser_of_each_pair_counts_and_low_tops_none():
    deep = height_of(0, 6, 1, 8, 6.6, 7, 2, 3, 0)
    assert [one.peak for one in _part(deep, 0, 81, -1, 0.01, 0.8)] == [10, 30, 70]
    # A top of less than four spreads over its valley is none.
    tops = height_of(0, 6, 1, 1.9, 0.9, 6, 0)
    assert [one.peak for one in _part(tops, 0, 61, -1, 0.2, 0.8)] == [10, 30, 50]
    assert [one.peak for one in _part(tops, 0, 61, -1, 0.26, 0.8)] == [10, 50]


def test_long_low_ends_are_trimmed():
    """Under 0.07 of the summit, or 1.2 spreads, whichever is more."""
    height = height_of(0.3, 0.3, 0.3, 6.0, 0.4, 0.4, 0.4)
    (one,) = _part(height, 0, 61, -1, 0.01, 0.8)
    assert (one.low, one.high) == (21, 40)  # 0.42: 0.3 + 0.57 a sample, 0.56 a sample to 0.4
    (one,) = _part(height, 0, 61, -1, 1.0, 0.8)
    assert (one.low, one.high) == (22, 39)
    part = np.r_[np.zeros(100), height]
    (one,) = _part(part, 100, 161, 1, 0.01, 0.8)
    assert one == Stretch(121, 140, 130, 1)


def test_numbers_of_a_departure_are_rounded_and_words_kept():
    one = Departure(1.23456789, 2, 3, 4, 5, 6, 7, 8, 9, "roll", "a roll, or dust")
    told = one.to_dict()
    assert told["position_um"] == 1.234568
    assert (told["kind"], told["could_be"]) == ("roll", "a roll, or dust")
