"""The band's path, part by part: reductions at their limits, weights of a path, scales."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.find_band import (
    _most,
    best_path,
    find_band,
    reduce,
    ridges,
    strongest_possible,
)


@pytest.mark.parametrize(
    ("shape", "factor"),
    [((600, 600), 1), ((601, 400), 2), ((1200, 900), 2), ((1201, 900), 3), ((47, 1200), 1),
     ((48, 1200), 2), ((72, 1801), 3), ((95, 2400), 3), ((96, 2400), 4), ((20, 2000), 1)],
)  # fmt: skip
def test_the_longest_side_is_reduced_to_600_and_24_rows_are_left(shape, factor):
    small, by = reduce(np.zeros(shape, np.float32))
    assert by == factor
    assert small.shape == (shape[0] // factor, shape[1] // factor)


def test_as_many_scales_as_the_picture_holds():
    """Six pixels of the shorter side are left at the coarsest."""
    for side, count in ((5, 0), (6, 1), (11, 1), (12, 2), (23, 2), (24, 3), (383, 6), (384, 7)):
        _, _, sigmas = ridges(np.zeros((side, max(side, 40)), np.float32))
        assert len(sigmas) == count
        assert_allclose(sigmas, 1.1 * 2.0 ** np.arange(count))


def test_a_slope_of_light_is_no_ridge_and_a_saddle_is_none():
    y, x = np.mgrid[0:60, 0:80].astype(np.float32)
    for light in (0.01 * x + 0.02 * y, 0.001 * (x - 40) * (y - 30)):
        bright, dark, _ = ridges(light.astype(np.float32))
        inner = slice(8, -8)
        assert bright[0][inner, inner].max() < 1e-4
        assert dark[0][inner, inner].max() < 1e-4


@pytest.mark.parametrize("turn_deg", [0.0, 30.0, 45.0, 90.0, 135.0])
def test_a_bar_answers_alike_whichever_way_it_runs(turn_deg):
    """Smoothed by 1 px: of a Gaussian ridge of 2 px the bend is 1 / (4 + 1) times its height."""
    y, x = np.mgrid[0:81, 0:81] - 40.0
    off = x * np.sin(np.deg2rad(turn_deg)) - y * np.cos(np.deg2rad(turn_deg))
    bright, dark, _ = ridges((0.3 + 0.5 * np.exp(-0.125 * off**2)).astype(np.float32))
    height = 0.5 * 2 / np.sqrt(5)
    assert bright[0][40, 40] == pytest.approx(height / 5, rel=0.1)  # by differences of whole pixels
    assert dark[0][40, 40] == 0


def test_a_path_takes_the_even_way_where_all_are_alike():
    path, mean = best_path(np.ones((5, 7)))
    assert np.ptp(path) == 0
    assert mean == 1
    reward = np.zeros((5, 6))
    reward[[0, 1, 2, 3, 4, 4], np.arange(6)] = 1
    path, mean = best_path(reward)
    assert path.tolist() == [0, 1, 2, 3, 4, 4]
    assert mean == 1
    assert best_path(reward[::-1])[0].tolist() == [4, 3, 2, 1, 0, 0]
    single, mean = best_path(np.array([[0.2, 0.6]]))
    assert single.tolist() == [0, 0]
    assert mean == pytest.approx(0.4)


def test_the_strongest_answer_of_any_scale_is_taken():
    one, two = np.array([[1.0, 5, 2]]), np.array([[3.0, 1, 2]])
    assert _most([one, two]).tolist() == [[3, 5, 2]]
    assert one.tolist() == [[1, 5, 2]]
    grid = np.zeros((5, 9))
    grid[2, :3] = [1, 2, 3]
    # Rows hold 3 at most in one of five, columns 1, 2 and 3 in three of nine.
    assert strongest_possible([grid]) == pytest.approx(
        np.quantile([1, 2, 3, 0, 0, 0, 0, 0, 0], 0.75)
    )
    assert strongest_possible([grid], share=1.0) == 3


def made(strength=0.2, *, scales=(0.4, 1.0, 0.6), rows=60, cols=90, part=1.0):
    """Answers of three scales along row 25, in a part of the columns."""
    grid = np.zeros((rows, cols), np.float32)
    grid[25, : int(part * cols)] = strength
    return [(scale * grid).astype(np.float32) for scale in scales], [1.1, 2.2, 4.4]


@pytest.mark.parametrize("upright", [False, True])
def test_a_path_is_told_in_pixels_of_the_picture(upright):
    responses, sigmas = made()
    if upright:
        responses = [np.ascontiguousarray(one.T) for one in responses]
    band = find_band(4, responses, sigmas)
    assert band.upright == upright
    along, across = (0, 1) if upright else (1, 0)
    assert_allclose(band.centre_rc[:, along], 4 * np.arange(90) + 1.5)
    assert_allclose(band.centre_rc[:, across], 4 * 25 + 1.5, atol=1e-6)
    assert band.sigma_px == pytest.approx(8.8)
    assert_allclose(band.strength, 0.2)
    # Compressed: the usual answer is worth 1 / 1.4.
    assert band.reward == pytest.approx(1 / 1.4, rel=1e-4)
    assert band.reduction == 4


def test_a_band_in_a_quarter_of_the_picture_is_what_is_usual():
    """The upper quarter of the columns' strongest answers."""
    for part, usual in ((0.3, True), (0.2, False)):
        responses, sigmas = made(part=part)
        responses[1][25, int(part * 90) :] = 0.02
        band = find_band(1, responses, sigmas)
        weak = 0.02 / (0.02 + 0.4 * (0.2 if usual else 0.02))
        strong = 0.2 / (0.2 + 0.4 * (0.2 if usual else 0.02))
        share = int(part * 90) / 90
        assert band.reward == pytest.approx(share * strong + (1 - share) * weak, rel=0.02)


def test_the_scale_that_answers_best_along_the_path_is_told():
    """Each place counts up to what is usual: one glint does not choose the scale."""
    responses, sigmas = made(scales=(0.9, 1.0, 0.5))
    responses[2][25, 40] = 90.0
    assert find_band(1, responses, sigmas).sigma_px == pytest.approx(2.2)
