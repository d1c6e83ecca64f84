"""The edge below one pixel, part by part: levels beside it, full light, how far is near."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.side.boundary import (
    Places,
    Strip,
    _longest,
    _side_levels,
    _where_full,
    boundary,
    edge_blur,
    grain,
    straighten,
)
from edgetest.photo.side.edge_outline import SmoothCurve

OFFSETS = np.arange(-60.0, 61.0)
COUNT = 60


def strip_of(cover):
    none, level = np.zeros((cover.shape[1], 2)), np.ones(cover.shape[1])
    arc = np.arange(float(cover.shape[1]))
    return Strip(cover.astype(np.float32), OFFSETS, arc, none, none, level, 0 * level)


def step(place, blur=0.8):
    return ndtr((np.broadcast_to(place, COUNT) - OFFSETS[:, None]) / blur)


def test_the_longest_run_is_kept():
    assert _longest(np.array([1, 1, 0, 1, 1, 1, 0, 1], bool)) == slice(3, 6)
    assert _longest(np.zeros(4, bool)) == slice(0, 0)
    assert _longest(np.ones(4, bool)) == slice(0, 4)


def test_samples_whose_crossings_are_a_pixel_apart_are_not_single():
    edge = np.zeros(3)
    places = Places(edge, np.array([0.0, 0.99, 1.5]), np.array([0.0, 0.0, 0.5]))
    assert places.single.tolist() == [True, True, False]


def column(*values):
    return np.array(values)[:, None]


def where_full(level, within, faint=0.06, turn=0.15):
    row, full = _where_full(level, np.arange(len(level))[:, None] <= within, faint, turn)
    return int(row[0]), bool(full[0])


def test_light_is_full_at_the_first_row_inwards_that_lacks_next_to_nothing():
    rising = column(1.0, 0.98, 0.95, 0.9, 0.7, 0.55, 0.2)
    assert where_full(rising, 5) == (2, True)
    assert where_full(rising, 5, faint=0.04) == (1, True)
    assert where_full(rising, 1) == (1, True)


def test_light_that_turns_back_ends_at_its_height():
    back = column(0.2, 0.5, 0.8, 0.85, 0.6, 0.1)
    assert where_full(back, 4) == (3, False)
    small = column(0.97, 0.8, 0.75, 0.85, 0.6, 0.1)
    assert where_full(small, 4) == (0, True)  # back by 0.1, no more than 0.15
    assert where_full(small, 4, turn=0.09) == (3, False)


def test_light_that_is_never_full_ends_at_its_height():
    assert where_full(column(0.6, 0.7, 0.75, 0.7, 0.55), 4) == (2, False)
    assert where_full(column(0.7, 0.7, 0.7, 0.2), 2) == (2, False)


@pytest.mark.parametrize(("far", "reach"), [(40, True), (41, False)])
def test_crossings_within_forty_pixels_are_the_edges(far, reach):
    """Something dark whose far side lies so many pixels beyond the edge, or within the blade."""
    over = step(0.5) + ndtr((0.5 + far - OFFSETS[:, None]) / 0.8)
    over -= ndtr((0.5 + far - 8 - OFFSETS[:, None]) / 0.8)
    found = boundary(strip_of(over), np.zeros(COUNT), 0.0)
    assert_allclose(found.edge, 0.5, atol=0.02)
    assert_allclose(found.inner, found.edge)
    assert_allclose(found.outer, 0.5 + far * reach, atol=0.1)
    hole = step(0.5) - ndtr((0.5 - far + 8 - OFFSETS[:, None]) / 0.8)
    hole += ndtr((0.5 - far - OFFSETS[:, None]) / 0.8)
    found = boundary(strip_of(hole), np.zeros(COUNT), 0.0)
    assert_allclose(found.edge, 0.5, atol=0.02)
    assert_allclose(found.outer, found.edge)
    assert_allclose(found.inner, 0.5 - far * reach, atol=0.1)


@pytest.mark.parametrize("part", [0.5, 0.7, 0.95, 0.05, 0.3])
def test_an_edge_between_two_rows_is_told_to_a_hundredth(part):
    for at in (-20, 0, 33):
        found = boundary(strip_of(step(at + part)), np.full(COUNT, float(at)), 0.0)
        assert_allclose(found.edge, at + part, atol=0.01)
        assert found.single.all()


def test_an_edge_near_either_end_of_the_strip_is_told():
    for at in (-55.5, 55.5):
        found = boundary(strip_of(step(at)), np.full(COUNT, 90 * np.sign(at)), 0.0)
        assert_allclose(found.edge, at, atol=0.02)


def test_of_two_edges_the_one_nearest_to_the_coarse_outline_is_taken():
    both = step(-20.5) + ndtr((20.5 - OFFSETS[:, None]) / 0.8)
    both -= ndtr((5.5 - OFFSETS[:, None]) / 0.8)
    assert_allclose(boundary(strip_of(both), np.full(COUNT, -1.0), 0.0).edge, -20.5, atol=0.3)
    assert_allclose(boundary(strip_of(both), np.full(COUNT, 1.0), 0.0).edge, 20.5, atol=0.3)


@pytest.mark.parametrize(
    ("full", "noise", "seen"),
    [
        (0.95, 0.0, True),
        (0.93, 0.0, False),
        (0.85, 0.1, True),
        (0.75, 0.1, False),
        (0.67, 0.3, True),
        (0.63, 0.3, False),
    ],
)
def test_a_blade_is_full_but_for_two_deviations_of_noise(full, noise, seen):
    """0.06 of the light at least, 0.35 at most."""
    found = boundary(strip_of(full * step(0.5)), np.zeros(COUNT), noise)
    assert np.isfinite(found.edge).tolist() == [seen] * COUNT


@pytest.mark.parametrize(("back", "noise", "kept"), [(0.10, 0.0, True), (0.3, 0.0, False),
                                                     (0.24, 0.1, True)])  # fmt: skip
def test_a_dent_in_the_rise_counts_as_the_edges_own_while_it_is_small(back, noise, kept):
    """Half the light at 20 px, full at 0, and a dip between of so much."""
    cover = np.tile(np.where(OFFSETS <= 0, 1.0, 0.7)[:, None], (1, COUNT))
    cover[(OFFSETS > 4) & (OFFSETS <= 12)] = 0.7 - back
    cover[OFFSETS > 20] = 0
    found = boundary(strip_of(cover), np.full(COUNT, 20.0), noise)
    whole = 0.5 + 0.7 * 12 + (0.7 - back) * 8
    if kept:
        assert_allclose(found.edge[5:-5], whole, atol=0.05)
    else:
        assert_allclose(found.edge[5:-5], 20, atol=1.0)  # the pale piece's own side


def test_blur_is_taken_from_few_samples_too_and_noise_from_away_from_the_edge():
    cover = step(0.2, 2.0)
    cover[np.abs(OFFSETS - 0.2) > 8] += 0.1
    cover[::2] -= 0.2 * (np.abs(OFFSETS[::2, None] - 0.2) > 8)
    blur, noise = edge_blur(strip_of(cover), np.full(COUNT, 0.2), np.ones(COUNT, bool))
    assert blur == pytest.approx(2.0, rel=0.02)
    assert noise == pytest.approx(0.1 * 1.4826, rel=1e-3)
    # Six samples fill a bin, five do not.
    few = np.arange(COUNT) < 6
    assert edge_blur(strip_of(cover), np.full(COUNT, 0.2), few)[0] == pytest.approx(2.0, rel=0.05)
    assert edge_blur(strip_of(cover), np.full(COUNT, 0.2), np.arange(COUNT) < 5) == (np.inf, np.inf)


def test_an_edge_that_is_paler_or_brighter_has_its_blur_all_the_same():
    cover = 0.1 + 0.7 * step(0.4, 1.5)
    blur, _ = edge_blur(strip_of(cover), np.zeros(COUNT), np.ones(COUNT, bool))
    assert blur == pytest.approx(1.5, rel=0.02)


def test_grain_counts_six_rows_at_either_end():
    """Means of nine that go up and down by 0.1: their neighbours differ by 0.2."""
    cover = np.zeros((OFFSETS.size, COUNT))
    cells = np.repeat(np.where(np.arange(COUNT // 3) % 2, 0.1, -0.1), 3)
    cover[:6] += cells
    cover[-6:] += cells
    expected = 3 * 1.4826 / np.sqrt(2) * 0.2
    assert grain(strip_of(cover)) == pytest.approx(expected, rel=1e-5)
    inside = np.zeros_like(cover)
    inside[6:-6] = cells
    assert grain(strip_of(inside)) == 0
    assert grain(strip_of(cover[:, :59])) == pytest.approx(expected, rel=1e-5)


def side_levels(light, coarse=0.0, margin=20):
    offsets = np.arange(-30.0, 31.0)
    return _side_levels(light, offsets, np.full(light.shape[1], coarse), margin)


def test_levels_are_taken_from_half_the_margin_outwards():
    """Ground from 10 to 19 px outside the outline, blade from 10 to 19 px inside it."""
    offsets = np.arange(-30.0, 31.0)[:, None] + np.zeros(200)
    for coarse in (0.0, 4.0):
        x = offsets - coarse
        light = np.select([(x >= 10) & (x <= 19), (x <= -9.5) & (x >= -19)], [0.8, 0.2], 0.5)
        ground, blade = side_levels(light, coarse)
        assert_allclose(ground, 0.8)
        assert_allclose(blade, 0.2)


def test_levels_are_medians_across_and_along():
    light = np.where(np.arange(61)[:, None] > 30, 0.8, 0.1) + np.zeros(200)
    light[42:44, 50:120] = 0.0  # one of five samples outside
    light[:, 150:155] = 0.3
    ground, blade = side_levels(light)
    assert_allclose(ground, 0.8)
    assert_allclose(blade, 0.1)


def test_a_slope_of_light_along_the_edge_is_kept():
    slope = 0.6 + 0.001 * np.arange(300)
    light = np.where(np.arange(61)[:, None] > 30, slope, 0.1)
    ground, _ = side_levels(light)
    assert_allclose(ground[90:210], slope[90:210], atol=2e-3)


def test_near_a_chip_its_ground_is_that_beyond_the_outline_nearby():
    offsets = np.arange(-60.0, 61.0)
    light = np.where(offsets[:, None] > 12, 0.8, 0.1) + np.zeros(200)
    coarse = np.zeros(200)
    coarse[100] = 25.0
    ground, blade = _side_levels(light, offsets, coarse, 20)
    assert_allclose(ground[70:131], 0.8, atol=1e-6)  # thirty places to either side
    light[offsets > 34] = 0.9
    ground, _ = _side_levels(light, offsets, coarse, 20)
    assert ground[100] > 0.85
    assert_allclose(ground[:35], 0.8, atol=2e-3)
    assert_allclose(blade, 0.1)


def test_a_blade_too_slim_to_fill_its_side_has_its_neighbours_light():
    light = np.where(np.arange(61)[:, None] > 30, 0.8, 0.2) + np.zeros(400)
    light[:20, 200:260] = 0.5  # contrast 0.3 of 0.6
    _, blade = side_levels(light)
    assert_allclose(blade, 0.2, atol=1e-6)
    light[:20, 200:260] = 0.40  # 0.4 of 0.6: its own light
    _, blade = side_levels(light)
    assert blade[230] > 0.3
    # A blade that is slim everywhere is left as it is.
    assert_allclose(side_levels(np.full((61, 100), 0.5))[1], 0.5)


@pytest.mark.parametrize(("start", "first"), [(1.0, 1.0), (0.95, 1.95), (-20.75, 1.25)])
def test_the_picture_is_read_from_its_second_pixel_to_its_last_but_one(start, first):
    grey = np.tile(np.arange(80.0, dtype=np.float32), (60, 1))
    half = (100 - start) / 2
    curve = SmoothCurve(np.array([[start + half, 30.0], [half, 0.0]]))
    near = np.array([-1.0, 1.0]), np.array([0.4, -0.7])
    made, coarse = straighten(grey, curve, (-1, 1), near, -1.0, margin=10)
    assert made.points[0, 0] == pytest.approx(first)
    assert made.points[-1, 0] + 1e-6 > 77
    assert made.points[-1, 0] <= 78
    assert_allclose(made.arc, made.points[:, 0] - first, atol=1e-6)
    assert made.offsets.tolist() == list(range(-11, 12))
    assert_allclose(coarse, 0.4 - 1.1 * (made.points[:, 0] - start) / (2 * half), atol=1e-9)
    assert_allclose(made.normals, [[0.0, 1.0]] * made.arc.size, atol=1e-12)


@pytest.mark.parametrize(("row", "shown"), [(1.0, True), (0.9, False), (58.0, True), (58.1, False)])
def test_a_curve_at_the_pictures_border_is_not_shown(row, shown):
    grey = np.tile(np.arange(80.0, dtype=np.float32), (60, 1))
    curve = SmoothCurve(np.array([[40.0, 30.0], [20.0, 0.0]]))
    bent = SmoothCurve(np.array([[40.0, row], [20.0, 0.0]]))
    near = np.array([-1.0, 1.0]), np.zeros(2)
    assert straighten(grey, curve, (-1, 1), near, 1.0, margin=10)[0].arc.size == 40
    if shown:
        assert straighten(grey, bent, (-1, 1), near, 1.0, margin=10)[0].arc.size == 40
    else:
        with pytest.raises(IndexError):
            straighten(grey, bent, (-1, 1), near, 1.0, margin=10)


def test_an_edge_without_contrast_is_divided_by_a_ten_thousandth():
    grey = np.full((60, 80), 0.5, np.float32)
    curve = SmoothCurve(np.array([[40.0, 30.0], [20.0, 0.0]]))
    near = np.array([-1.0, 1.0]), np.zeros(2)
    made, _ = straighten(grey, curve, (-1, 1), near, 1.0, margin=10)
    assert_allclose(made.cover, 0, atol=1e-2)
    grey[25:] -= 0.0002
    made, _ = straighten(grey, curve, (-1, 1), near, 1.0, margin=10)
    assert_allclose(np.ptp(made.cover), 1, atol=0.05)
