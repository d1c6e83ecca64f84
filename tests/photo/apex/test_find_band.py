"""The band's path: ridges of known bars, the best path by exhaustion, and drawn bands."""

from itertools import pairwise, product

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.find_band import best_path, find_band, reduce, ridges, strongest_possible

ROWS, COLS = 240, 360


def bar(row, width, *, contrast=0.5, ground=0.1, blur=1.0, cosine=1.0):
    """A bright bar about a row, given by column."""
    off = (np.arange(ROWS)[:, None] - np.asarray(row)) * cosine
    light = ndtr((off + width / 2) / blur) - ndtr((off - width / 2) / blur)
    return (ground + contrast * light + np.zeros(COLS)).astype(np.float32)


def test_a_large_picture_is_reduced_by_whole_factors():
    picture = np.random.default_rng(1).random((130, 1301)).astype(np.float32)
    small, factor = reduce(picture)
    assert factor == 3
    expected = picture[:129, :1299].reshape(43, 3, 433, 3).mean(axis=(1, 3))
    assert_allclose(small, expected, atol=1e-5)
    assert reduce(picture[:, :600])[1] == 1
    assert reduce(picture[:, :601])[1] == 2
    assert reduce(np.zeros((30, 6000), np.float32))[1] == 1  # 24 rows are left at least


@pytest.mark.parametrize(("width", "level"), [(2.2, 0), (4.4, 1), (8.8, 2), (17.6, 3)])
def test_a_bar_answers_at_the_scale_of_its_width(width, level):
    """With about 0.35 of its contrast where the scale is half the width."""
    bright, dark, sigmas = ridges(bar(120, width, contrast=0.6, blur=0.3))
    assert_allclose(sigmas, 1.1 * 2.0 ** np.arange(len(sigmas)))
    answers = [float(response[115:126, 100:260].max()) for response in bright]
    assert int(np.argmax(answers)) == level
    assert answers[level] == pytest.approx(0.35 * 0.6, rel=0.08)
    turned = ridges(1 - bar(120, width, contrast=0.6, blur=0.3))
    for one, other in zip(turned[1], bright, strict=True):
        assert_allclose(one, other, atol=2e-4)  # a dark bar answers as its negative
    assert max(float(response[110:131, 100:260].max()) for response in dark) < 0.55 * answers[level]


def test_blobs_are_no_lines():
    y, x = np.mgrid[0:ROWS, 0:COLS]
    blob = 0.5 * np.exp(-0.5 * ((y - 120) ** 2 + (x - 180) ** 2) / 3.0**2)
    line = 0.5 * np.exp(-0.5 * ((y - 120) / 3.0) ** 2 + 0 * x)
    best = [max(float(r[120, 180]) for r in ridges(p.astype(np.float32))[0]) for p in (blob, line)]
    assert best[0] < 0.15 * best[1]


@pytest.mark.parametrize("seed", range(6))
def test_the_best_path_gathers_as_much_as_any(seed):
    reward = np.random.default_rng(seed).random((4, 6))
    path, mean = best_path(reward)
    most = max(
        sum(reward[row, column] for column, row in enumerate(rows))
        for rows in product(range(4), repeat=6)
        if all(abs(one - other) <= 1 for one, other in pairwise(rows))
    )
    assert mean == pytest.approx(most / 6)
    assert reward[path, np.arange(6)].sum() == pytest.approx(most)
    assert np.abs(np.diff(path)).max() <= 1


@pytest.mark.parametrize("upright", [False, True])
@pytest.mark.parametrize("slope", [0.0, 0.25, -0.4])
@pytest.mark.parametrize("width", [4.0, 16.0])
def test_a_drawn_band_is_followed(upright, slope, width):
    row = 120 + slope * (np.arange(COLS) - COLS / 2)
    picture = bar(row, width, cosine=1 / np.hypot(1, slope))
    small = np.ascontiguousarray(picture.T) if upright else picture
    bright, _, sigmas = ridges(small)
    possible = strongest_possible([one.copy() for one in bright])
    band = find_band(2, bright, sigmas)
    assert band.upright == upright
    along, across = (0, 1) if upright else (1, 0)
    assert band.reduction == 2
    # Of the full picture, of which a reduced pixel covers two; it runs within the band.
    assert_allclose(band.centre_rc[:, along], 2 * np.arange(COLS) + 0.5)
    middle = slice(20, -20)
    assert_allclose(band.centre_rc[middle, across], (2 * row + 0.5)[middle], atol=0.4 * width)
    assert 0.5 < band.sigma_px / width < 2.1  # half the width, of twice as many pixels
    assert 0.5 < band.reward < 1
    assert float(np.quantile(band.strength, 0.75)) <= possible + 1e-6


def test_a_band_through_a_part_of_the_picture_is_no_less_found():
    picture = bar(80, 6.0)
    picture[:, 150:] = 0.1
    bright, _, sigmas = ridges(picture)
    band = find_band(1, bright, sigmas)
    assert not band.upright
    assert_allclose(band.centre_rc[10:135, 0], 80, atol=1)
    assert np.median(band.strength[:140]) > 10 * np.median(band.strength[170:])
