"""Bands about as wide as the blur: a width where it can be told, else an upper limit."""

import numpy as np
import pytest

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.narrow_band import narrow_width, pool_profile
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.kinds import picture
from tests.photo.light import linear

LINEAR = np.asarray(srgb_decode(np.arange(256) / 255), dtype=np.float32)


def photograph(seed=1, **settings):
    picture, truth = render_apex(rng=np.random.default_rng(seed), **settings)
    return LINEAR[picture], truth


@pytest.mark.parametrize(
    "seed", [1, pytest.param(2, marks=pytest.mark.slow), pytest.param(3, marks=pytest.mark.slow)]
)
def test_band_below_the_blur_gives_an_upper_limit_only(seed):
    light, truth = photograph(seed, width_um=1.2, blur_px=1.7, noise=0.008, tilt_deg=6.0)
    result = measure_apex(linear(light), 0.5)
    assert result.status == "measured"
    assert result.width_um is None
    assert truth["width_um"] * 0.5 < result.below_um < 0.5 * 4
    assert "below_resolution" in [reason.code for reason in result.doubts]
    assert result.summary().startswith("bright line below")


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_limit_of_a_band_of_two_and_a_half_blurs_lies_close_above_it(seed):
    light, truth = photograph(seed, width_um=2.5, blur_px=0.95, noise=0.006, tilt_deg=6.0)
    result = measure_apex(linear(light), 1.0)
    assert truth["width_um"] < result.below_um < 1.25 * truth["width_um"]


# Narrow lands of the second world, whose lenses are limited by diffraction: no Gaussian.
@pytest.mark.parametrize("seed", [105, pytest.param(107, marks=pytest.mark.slow), 113])
def test_limit_of_a_narrow_band_holds_behind_a_lens_that_diffracts(seed):
    made = picture("narrow", seed)
    result = measure_apex(read_picture(made.data, tone="srgb"), made.um_per_px)
    assert result.width_um is None
    assert made.truth.width_um < result.below_um < 3 * made.truth.width_um


def test_known_blur_narrows_what_the_picture_leaves_open():
    light, truth = photograph(4, width_um=2.6, blur_px=1.5, noise=0.005, tilt_deg=6.0)
    alone = measure_apex(linear(light), 1.0)
    known = measure_apex(linear(light), 1.0, blur_px=float(np.sqrt(1.5**2 + 1 / 12)))

    def span(result):
        if result.width_um is None:
            return result.below_um
        return result.width_um.high - result.width_um.low

    assert span(known) <= span(alone)
    high = known.width_um.high if known.width_um else known.below_um
    assert high > truth["width_um"]


def test_soft_picture_of_a_narrow_band_gives_an_upper_limit_only():
    light, _ = photograph(1, width_um=10.0, blur_px=12.0)
    result = measure_apex(linear(light), 1.0)
    assert result.width_um is None
    assert result.below_um > 10.0
    assert "soft_or_round" in [one.code for one in result.doubts]


def test_an_interval_that_is_told_well_lies_evenly_about_its_width():
    """Near its lowest place a likelihood is a parabola: both ends are as far away."""
    light, _ = photograph(2, width_um=7.0, blur_px=1.0, noise=0.004, tilt_deg=6.0)
    rows, cols = light.shape
    column = np.arange(cols, dtype=float)
    row = rows / 2 - 0.5 + np.tan(np.deg2rad(6.0)) * (column - cols / 2 + 0.5)
    line = np.stack([row, column], axis=1)
    pooled = pool_profile(light, line, np.ones(cols, bool), False, 14.0)
    found = narrow_width(pooled, blur_px=float(np.sqrt(1 + 1 / 12)))
    assert found.resolved
    assert found.low_px < 7.0 < found.high_px
    below, above = found.width_px - found.low_px, found.high_px - found.width_px
    assert below == pytest.approx(above, rel=0.35)
    turned = pool_profile(
        np.ascontiguousarray(light.T), line[:, ::-1], np.ones(cols, bool), True, 14.0
    )
    np.testing.assert_allclose(turned.value, pooled.value, atol=1e-6)
