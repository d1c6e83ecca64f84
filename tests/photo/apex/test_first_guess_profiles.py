"""First guesses on drawn bands: the mean profile and every block's sides, levels and blur."""

from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.find_band import BandPath
from edgetest.photo.apex.first_guess import Context, Sides, look_around, trace_sides

X = np.arange(-40.0, 41)


def strip_of(left, right, *, blur=1.5, levels=(0.1, 0.7, 0.2), rows=30):
    """Blocks of a band between two sides: ground, land, ground."""
    left, right = (np.broadcast_to(side, rows)[:, None] for side in (left, right))
    below, land, above = levels
    values = below + (land - below) * ndtr((X - left) / blur)
    values = values + (above - land) * ndtr((X - right) / blur)
    return SimpleNamespace(values=values.astype(np.float32), x=X)


def test_sides_of_every_block_are_told_with_their_levels():
    shift = np.linspace(-2, 2, 30)
    found = trace_sides(strip_of(-9.3 + shift, 8.4 + shift), 17.0)
    inner = slice(4, -4)
    assert_allclose(found.left[inner], -9.3 + shift[inner], atol=0.05)
    assert_allclose(found.right[inner], 8.4 + shift[inner], atol=0.05)
    assert_allclose(found.land, 0.7, atol=1e-3)
    assert_allclose(found.below, 0.1, atol=1e-3)
    assert_allclose(found.above, 0.2, atol=1e-3)
    assert_allclose(found.contrast, 0.55, atol=2e-3)
    assert found.usual == pytest.approx(0.55, abs=2e-3)
    assert found.width == pytest.approx(17.7, abs=0.05)
    # The steeper side of the two, smoothed by 0.8 px more: 0.6 of the contrast of 0.55.
    steep = 0.6 / (np.sqrt(2 * np.pi) * np.hypot(1.5, 0.8))
    assert found.blur_px == pytest.approx(0.55 / steep / np.sqrt(2 * np.pi), rel=0.05)


def test_a_blur_is_told_between_its_limits():
    """From 0.6 px, a step far higher than the land, to 40 px, a roof of light 400 px wide."""
    strip = strip_of(-9.0, 8.0)
    strip.values[:, :6] = 0.1 + 60 * (np.arange(6) % 2)
    assert trace_sides(strip, 17.0).blur_px == pytest.approx(0.6)
    roof = 0.5 - 0.001 * np.abs(np.arange(-220.0, 221))
    strip = SimpleNamespace(values=np.tile(roof.astype(np.float32), (9, 1)))
    assert trace_sides(strip, 17.0).blur_px == pytest.approx(40)


def test_blocks_without_the_land_do_not_count_for_width_and_blur():
    strip = strip_of(-9.0, 8.0)
    bare = strip_of(-3.0, 3.0, levels=(0.1, 0.3, 0.2), blur=4.0)
    strip.values[:12] = bare.values[:12]
    found = trace_sides(strip, 17.0)
    assert found.width == pytest.approx(17.0, abs=0.1)
    assert found.usual == pytest.approx(0.55, abs=5e-3)
    assert found.blur_px < 2.2


def test_a_contrast_is_over_the_mean_of_both_grounds():
    flat = np.ones(2)
    sides = Sides(flat, flat, np.array([0.7, 0.5]), 0.1 * flat, 0.3 * flat, 0.5, 17.0, 1.5)
    assert_allclose(sides.contrast, [0.5, 0.3])


def drawn(width, *, rows=200, cols=300, middle=100.0, levels=(0.1, 0.7, 0.2), part=1.0):
    """A band across, in a part of the picture's columns; the ground above it comes first."""
    row = np.arange(rows)[:, None] - middle
    below, land, above = levels
    light = below + (land - below) * ndtr((row + width / 2) / 1.2)
    light = light + (above - land) * ndtr((row - width / 2) / 1.2)
    bare = np.where(row < 0, below, above)
    shown = np.arange(cols) < part * cols
    return np.where(shown, light, bare).astype(np.float32)


def band_of(cols=300, *, factor=1, row=100.0, sigma=6.0, part=1.0):
    centre = np.stack([np.full(cols, row), np.arange(cols)], axis=1)
    strength = (np.arange(cols) < part * cols) * 0.2 + 0.001
    return BandPath((centre + 0.5) * factor - 0.5, strength, sigma * factor, 0.8, False, factor)


@pytest.mark.parametrize("factor", [1, 3])
def test_the_mean_profile_is_told_in_pixels_of_the_picture(factor):
    found = look_around(drawn(13.0), band_of(factor=factor, row=101.5))
    assert_allclose([found.left, found.right], np.array([-8.0, 5.0]) * factor, atol=0.05 * factor)
    assert (found.land, found.below, found.above) == pytest.approx((0.7, 0.1, 0.2), abs=2e-3)
    assert found.certain
    assert_allclose(np.diff(found.x), factor)
    expected = drawn(13.0)[np.rint(found.x / factor + 101).astype(int)[40:60], 0]
    assert_allclose(found.profile[40:60], expected, atol=0.1)
    assert found.elsewhere == 0
    assert found.beside == 0
    assert_allclose(found.seen, 1.0)
    assert found.x[0] == -101 * factor  # to the picture's border
    assert found.x[-1] == 97 * factor


def test_a_land_in_a_part_of_the_picture_is_looked_at_there():
    found = look_around(drawn(13.0, part=0.3), band_of(part=0.3))
    assert found.land == pytest.approx(0.7, abs=2e-3)
    assert found.spread.max() < 0.05


def test_scatter_along_the_edge_makes_a_profile_uncertain():
    """A median's standard error, 1.25 robust deviations over the root of their number."""
    rng = np.random.default_rng(1)
    along = 0.1 * rng.standard_normal(300)
    found = look_around((drawn(13.0) + along).astype(np.float32), band_of())
    # Places 3 px apart, of which twenty pixels count as one: 15 of 300 px.
    off = 1.4826 * np.median(np.abs(along - np.median(along)))
    assert found.spread[100] == pytest.approx(1.2533 * off / np.sqrt(15), rel=0.15)
    assert found.certain
    loud = look_around((drawn(13.0) + 8 * along).astype(np.float32), band_of())
    assert not loud.certain


def context(land, spread):
    x = np.arange(-5.0, 6)
    return Context(x, 0 * x, 0 * x, -2.0, 2.0, land, 0.1, 0.3, spread * np.where(x == 0, 1, 9), 0.0)


def test_certain_is_four_spreads_over_the_brighter_ground():
    assert context(0.71, 0.1).certain
    assert not context(0.70 - 1e-9, 0.1).certain


def test_what_shines_elsewhere_is_counted_beyond_the_land():
    grey = drawn(13.0)
    grey[20:40, 60:90] = 0.9
    found = look_around(grey, band_of())
    # Places at three deviations and 4 px or more from the path: 22 px.
    assert found.elsewhere == pytest.approx(600 / (300 * (200 - 45)), rel=0.05)
    near = drawn(13.0)
    near[78:82, 60:90] = 0.9  # within them: not counted
    assert look_around(near, band_of()).elsewhere == 0
    faint = drawn(13.0)
    faint[20:40, 60:90] += 0.24  # half of the land over the brighter ground is 0.25
    assert look_around(faint, band_of()).elsewhere == 0
    faint[20:40, 60:90] += 0.02
    assert look_around(faint, band_of()).elsewhere > 0.01


def test_another_band_beside_is_told_by_its_share_of_the_places():
    grey = drawn(13.0)
    grey[114:122, :120] = 0.7
    found = look_around(grey, band_of())
    assert found.beside == pytest.approx(0.4, abs=0.02)
    grey = drawn(13.0)
    grey[140:150] = 0.7  # beyond one and a half widths and twice the gap
    assert look_around(grey, band_of()).beside == 0


def test_nothing_shines_beyond_a_land_that_reaches_to_the_borders():
    assert look_around(drawn(13.0), band_of(sigma=70.0)).elsewhere == 0
