"""Where one picture lies on another: cut from one texture, so that the place is known."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.frame_search import against_ground, along_detail, best_place, frame_of


def texture(shape=(200, 320), grain=1.5, seed=1):
    rng = np.random.default_rng(seed)
    fine = cv2.GaussianBlur(rng.standard_normal(shape).astype(np.float32), (0, 0), grain)
    return fine / fine.std()


@pytest.mark.parametrize("corner", [(30, 60), (-25, 40), (20, -70), (-40, -50), (0, 0)])
def test_a_part_is_found_where_it_was_cut(corner):
    whole = texture((320, 520))
    first = whole[60:220, 100:360]
    row, col = 60 + corner[0], 100 + corner[1]
    second = whole[row : row + 150, col : col + 240]
    found = best_place(first, second, 0.0)
    assert found.corner.tolist() == list(corner)
    assert found.likeness == pytest.approx(1.0, abs=1e-4)
    assert found.rival < 0.6
    back = best_place(second, first, 0.0)
    assert back.corner.tolist() == [-corner[0], -corner[1]]
    near = best_place(first, second, 0.0, reach=0.05)
    assert np.all(np.abs(near.corner) <= [0.05 * 160, 0.05 * 260])


def test_likeness_is_the_correlation_of_the_common_part():
    whole, other = texture((300, 420), seed=2), texture((300, 420), seed=3)
    first = whole[:200, :300]
    second = (whole + 0.5 * other)[40:240, 90:390]
    found = best_place(first, second, 0.0)
    assert found.corner.tolist() == [40, 90]
    a, b = first[40:, 90:], second[:160, :210]
    expected = float((a * b).sum() / np.sqrt((a**2).sum() * (b**2).sum()))
    assert found.likeness == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize("grain", [1.5, 3.0])
def test_chance_has_the_spread_that_it_is_measured_in(grain):
    """The best of unrelated places is some 3 to 5.5 spreads clear, whatever the grain."""
    best = [
        best_place(texture(grain=grain, seed=k), texture(grain=grain, seed=50 + k), 0.0).clear
        for k in range(6)
    ]
    assert 2.8 < np.median(best) < 5.5
    assert best_place(texture(grain=grain), texture(grain=grain), 0.0).clear > 3 * max(best)


def test_a_texture_that_comes_again_has_a_rival():
    tile = texture((160, 60), seed=4)
    whole = np.tile(tile, (1, 8))
    found = best_place(whole[:, :300], whole[:, 30:330], 0.0)
    assert found.rival > 0.9


@pytest.mark.parametrize("turn_deg", [-3.0, 1.5])
def test_a_turned_part_is_found_by_its_turn(turn_deg):
    whole = texture((400, 600), grain=2.5, seed=5)
    second = whole[120:280, 180:420]
    turn = cv2.getRotationMatrix2D((299.5, 199.5), turn_deg, 1.0)
    first = cv2.warpAffine(whole, turn, (600, 400), flags=cv2.INTER_CUBIC)
    right, wrong = (best_place(first, second, way * turn_deg) for way in (1, -1))
    better = max((right, wrong), key=lambda one: one.clear)
    assert better.likeness > 0.8
    assert abs(right.likeness - wrong.likeness) > 0.2
    middle = better.corner + np.array([79.5, 119.5])
    seen = turn @ [180 + 119.5, 120 + 79.5, 1]
    assert_allclose(middle, seen[::-1], atol=1.0)


def test_copies_are_area_means_and_a_neighbour_is_reduced_alike():
    picture = np.abs(texture((500, 1300), grain=3, seed=6)) + 1
    frame = frame_of(picture)
    assert (frame.light_factor, frame.detail_factor) == (2, 5)
    assert frame.light.shape == (250, 650)
    assert frame.detail.shape == (100, 260)
    means = picture.reshape(250, 2, 650, 2).mean(axis=(1, 3)).astype(np.float32)
    assert_allclose(frame.light, cv2.GaussianBlur(means, (0, 0), 1.0), atol=1e-4)
    small = frame_of(picture[:200, :300], like=frame)
    assert (small.light_factor, small.detail_factor) == (2, 5)
    assert frame_of(picture[:200, :300]).detail_factor == 1
    assert frame.shape == (500, 1300)


def test_light_is_told_in_units_of_its_photon_noise():
    """Twice the light has a noise of sqrt(2): details of a share of the light grow as sqrt."""
    fine = 1 + 0.1 * texture(grain=1.0, seed=7)
    one, other = against_ground(fine), against_ground(4 * fine)
    assert_allclose(other, 2 * one, rtol=1e-3, atol=1e-4)
    assert abs(float(one.mean())) < 0.01


@pytest.mark.parametrize("slope", [0.0, 0.03, -0.05])
def test_a_band_along_the_columns_is_no_detail(slope):
    row = np.arange(200)[:, None] - 100 - slope * (np.arange(320) - 160)
    band = (3 * np.exp(-0.5 * (row / 6) ** 2)).astype(np.float32)
    fine = 0.3 * texture(seed=8)
    left = along_detail(band + fine)
    assert abs(float(left.mean())) < 1e-6
    # In the band as little is left as elsewhere, clipped at two spreads.
    inner, outer = left[90:110, 60:260].std(), left[20:60, 60:260].std()
    assert inner < 1.3 * outer
    assert left.max() - left.min() < 4.2 * left.std() * 1.2
