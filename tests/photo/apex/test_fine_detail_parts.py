"""Fine detail, part by part: spectra of made waves, and the sides that they are taken from."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.photo.apex.explanations import Explanation
from edgetest.photo.apex.fine_detail import (
    SECTORS,
    STEPS,
    _gathered,
    _periodogram,
    detail_of,
    finer_than,
    likelihoods,
)
from edgetest.photo.apex.straighten import Track


def lens(name, blur=0.3, extra=0.0, form=0.0):
    return Explanation(name, 10.0, blur, extra, 1.0, form)


def test_a_wave_along_shows_at_its_frequency_and_the_edges_own_light_does_not():
    place = np.arange(100)
    field = np.tile(5 + np.cos(2 * np.pi * 12 * place / 100), (2, 1)).T
    power, along = _periodogram(field, 1)
    assert power.shape == (51, 2)
    assert_allclose(along[:, 0], np.arange(51) / 100)
    assert np.argmax(power[:, 0]) == 12
    # A Hann window's sum of squares halves and halves again: a quarter of n², a quarter of that.
    assert power[12, 0] == pytest.approx((0.25 * 99) ** 2, rel=0.01)
    slow, _ = _periodogram(5 + np.cos(2 * np.pi * 3 * place / 100)[:, None], 1)
    assert not slow[:4].any()
    assert slow[4] > 100  # the window's own breadth
    flat, _ = _periodogram(np.full((60, 3), 7.0), 3)
    assert_allclose(flat, 0, atol=1e-20)


def test_a_wave_aslant_shows_at_both_its_frequencies():
    along, across = np.arange(80)[:, None], np.arange(40)
    field = np.cos(2 * np.pi * (10 * along / 80 - 5 * across / 40))
    power, _ = _periodogram(field, 40)
    assert power.shape == (41, 40)
    assert np.unravel_index(np.argmax(power), power.shape) == (10, 35)


def test_power_is_gathered_by_frequency_in_its_sector_alone():
    borders = np.linspace(0.0, 0.24, STEPS + 1)  # steps of 0.01
    frequency = np.array([[0.005, 0.015, 0.015, 0.015, 0.235, 0.245, 0.015]])
    power = np.array([[2.0, 4.0, 6.0, 0.0, 3.0, 50.0, 70.0]])
    turn = np.array([[1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 2.0]])
    mean, count, level = _gathered(power, frequency, turn, 1, borders, 0.5)
    expected = np.zeros(STEPS)
    expected[[0, 1, 23]] = 0.5, 1.0, 0.5
    assert_allclose(count, expected)
    assert level == pytest.approx(10 / 3)  # of 2, 5 and 3
    assert_allclose(mean[[0, 1, 23]], np.array([2, 5, 3]) / (10 / 3))
    assert_allclose(mean[2:23], 1)


def test_a_sector_without_power_is_level_one():
    borders = np.linspace(0.0, 0.24, STEPS + 1)
    mean, count, level = _gathered(
        np.ones((1, 3)), np.full((1, 3), 0.1), np.zeros(3), 5, borders, 1
    )
    assert level == 1
    assert not count.any()
    assert_allclose(mean, 1)
    below, few, _ = _gathered(np.ones(2), np.array([-0.1, 0.5]), np.zeros(2), 0, borders, 1)
    assert not few.any()
    assert_allclose(below, 1)


def textured(*, land=0.0, upper=0.0, lower=0.0, columns=200, rows=240, size=1.0):
    """Land of 20 px about row 120; waves (cycles a pixel along, down) above it and below it."""
    row, col = np.arange(rows)[:, None] - 120.0, np.arange(columns)

    def wave(at):
        along, down = at or (0.0, 0.0)
        return size * np.cos(2 * np.pi * (along * col + down * row))

    parts = [np.abs(row) < 10, row < 0, row > 0]
    return np.select(parts, [wave(land), wave(upper), wave(lower)]).astype(np.float32)


def sides_of(columns, left=-10.0, right=10.0, row=120.0):
    index = np.arange(columns)
    track = Track(
        index + 0.5,
        np.stack([np.full(columns, row), index], axis=1),
        np.tile([1.0, 0.0], (columns, 1)),
    )
    return SimpleNamespace(track=track, left=np.full(columns, left), right=np.full(columns, right))


def test_detail_is_told_by_side_direction_and_frequency():
    """On the land along it; above at 45° down to the right; below straight down."""
    slant = 0.14 / np.sqrt(2)
    grey = textured(land=(0.1, 0.0), upper=(slant, slant), lower=(0.1, 0.1 * np.tan(np.pi / 8)))
    grey += 1e-3 * np.random.default_rng(1).standard_normal(grey.shape).astype(np.float32)
    rays = detail_of(grey, sides_of(200), 6.0, 0.02)
    assert rays.side[0] == 0
    assert set(rays.side) == {0, 1, 2}
    for side in (1, 2):  # straight down there is next to nothing but what runs along
        turns = rays.angle[rays.side == side] / (np.pi / SECTORS)
        assert set(np.rint(turns).astype(int)) >= {0, 1, 2, 3, 5, 6}
        assert_allclose(turns, np.rint(turns))
    assert_allclose(np.diff(rays.frequency), 0.18 / 24)
    assert rays.frequency[0] == pytest.approx(0.02 + 0.18 / 48)

    def peak(of):
        return rays.frequency[np.argmax(rays.power[of] * (rays.count[of] > 0))]

    land = np.flatnonzero(rays.side == 0)[0]
    assert rays.angle[land] == 0
    assert peak(land) == pytest.approx(0.1, abs=0.006)
    above = np.flatnonzero(rays.side == 1)
    loudest = above[np.argmax(rays.level[above])]
    assert rays.angle[loudest] == pytest.approx(np.pi / 4)
    assert peak(loudest) == pytest.approx(0.14, abs=0.006)
    below = np.flatnonzero(rays.side == 2)
    loudest = below[np.argmax(rays.level[below])]
    assert rays.angle[loudest] == pytest.approx(np.pi / 8)


def test_bevels_are_looked_at_as_broad_as_the_lens_asks_and_no_broader():
    """Values counted: of n columns and m rows beside the edge each stands for a part of them."""
    grey = np.random.default_rng(2).standard_normal((420, 160)).astype(np.float32)
    many = {}
    for keep in (4.0, 10.0, 25.0):
        rays = detail_of(grey, sides_of(160, row=210.0), keep, 0.02)
        many[keep] = rays.count[rays.side == 1].sum()
    # 48 px at least (not 32), eight radii (80 px), 160 px at most (not 200).
    assert many[10.0] / many[4.0] == pytest.approx(80 / 48, rel=0.1)
    assert many[25.0] / many[4.0] == pytest.approx(160 / 48, rel=0.1)


def test_values_under_windows_are_counted_once_in_two_and_a_quarter():
    """Half a circle of frequencies up to 0.2 and down to 0.02, in cells of 1 / n by 1 / m."""
    grey = np.random.default_rng(2).standard_normal((420, 160)).astype(np.float32)
    rays = detail_of(grey, sides_of(160, row=210.0), 10.0, 0.02)
    # Waves of up to three in the whole length are left out: a stripe of 2 * 0.2 by 0.01875 or so.
    area = np.pi * (0.2**2 - 0.02**2) / 2 - 0.4 * 0.02
    assert rays.count[rays.side == 2].sum() == pytest.approx(area * 160 * 80 / 2.25, rel=0.05)
    # The land: 13 columns within 0.35 of 20 px, one value in five of them.
    land = rays.count[0]
    assert land.sum() == pytest.approx(13 / 5 * 160 * 0.18, rel=0.05)


def test_a_bevel_that_the_picture_cuts_short_is_left_out():
    grey = np.random.default_rng(3).standard_normal((240, 160)).astype(np.float32)
    # Beyond row 10 + 6 of 48 px the upper bevel is 0.7 of 48 = 33.6 px: 34 columns do, 33 do not.
    for row, sides in ((50.0, [0, 1, 2]), (49.0, [0, 2])):
        rays = detail_of(grey, sides_of(160, row=row), 6.0, 0.02)
        assert sorted(set(rays.side)) == sides


@pytest.mark.parametrize(("half", "land"), [(1.42, False), (1.44, True)])
def test_a_land_of_one_column_has_no_detail_of_its_own(half, land):
    """Within 0.35 of 2.84 px lies one place, within 0.35 of 2.88 px lie three."""
    grey = np.random.default_rng(3).standard_normal((240, 160)).astype(np.float32)
    rays = detail_of(grey, sides_of(160, -half, half), 6.0, 0.02)
    assert (0 in set(rays.side)) == land


def test_a_lens_out_of_focus_by_a_pixel_is_not_asked_about():
    """0.12 cycles a radius: over 1.2 px it leaves half of what is finer than 0.2 cycles a pixel."""
    grey = textured(land=(0.15, 0.0), upper=(0.12, 0.1), lower=(0.12, -0.1))
    sharp = lens("plain")
    assert finer_than(grey, sides_of(200), sharp, lens("disc", extra=1.19)) == 0
    assert finer_than(grey, sides_of(200), sharp, lens("disc", extra=1.21)) != 0


def test_no_texture_where_no_bevel_is_seen_speaks_for_nobody():
    grey = np.zeros((240, 200), dtype=np.float32)
    assert finer_than(grey, sides_of(200), lens("plain"), lens("disc", extra=6.0)) == 0


def test_fine_detail_speaks_for_the_sharp_lens():
    grey = np.random.default_rng(4).standard_normal((240, 160)).astype(np.float32)
    sides = sides_of(160)
    sharp, soft = lens("plain"), lens("disc", extra=6.0)
    towards = finer_than(grey, sides, sharp, soft)
    rays = detail_of(grey, sides, 6.0, 0.02)
    first, second = likelihoods(rays, (sharp, soft))
    assert towards == pytest.approx(first - second)
