"""Overexposed lands: what the feet of their flanks tell."""

import numpy as np
import pytest
from scipy.special import ndtr

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.overexposed import Flank, fit_flanks
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.kinds import picture
from tests.photo.light import linear


def flank(shift_px, land, blur_px, ground, clip=0.95):
    """Light of a blurred step below the clip, as pixels of a level edge average it."""
    fine = np.arange(-8, 4, 0.01)
    light = ground + (land - ground) * ndtr((fine + shift_px) / blur_px)
    pixel = np.convolve(light, np.ones(101) / 101, mode="same")
    distance = np.arange(-7, 3, 0.25)
    value = np.interp(distance, fine, pixel)
    keep = value < clip
    scatter, clear = np.full(keep.sum(), 1e-3), np.zeros(keep.sum())
    return Flank(distance[keep], value[keep], scatter, clear, 1.0, 0.0)


@pytest.mark.parametrize("land", [1.05, 1.4, 1.9])
def test_flanks_tell_width_land_and_blur(land):
    flanks = [flank(0.15, land, 1.2, 0.06), flank(-0.08, land, 1.2, 0.15)]
    found = fit_flanks(flanks, 30.0, 1.1)
    assert found.width_px == pytest.approx(30.07, abs=0.03)
    assert found.land == pytest.approx(land, rel=0.01)
    assert found.blur_px == pytest.approx(np.hypot(1.2, np.sqrt(1 / 12)), rel=0.02)


@pytest.mark.parametrize(
    ("land", "width", "blur", "grain"),
    [
        (1.1, 24.0, 1.1, 0.05),
        (1.07, 7.5, 1.95, 0.02),
        (1.4, 12.0, 1.5, 0.04),
        (1.65, 30.0, 0.9, 0.02),
    ],
)
def test_an_overexposed_land_is_measured_to_a_tenth_of_a_pixel(land, width, blur, grain):
    picture, truth = render_apex(
        shape=(480, 640), width_um=width, land=land, bevels=(0.08, 0.2), blur_px=blur,
        land_grain=grain, tilt_deg=11.0, noise=0.008, bits=16, rng=np.random.default_rng(8),
    )  # fmt: skip
    result = measure_apex(linear(srgb_decode(np.rint(picture / 257) / 255)), 1.0)
    assert "saturated_band" in [reason.code for reason in result.doubts]
    assert result.width_um.mean == pytest.approx(truth["width_um"], abs=0.1)
    assert result.width_um.low < truth["width_um"] < result.width_um.high


@pytest.mark.parametrize("seed", [24, 42])
def test_behind_a_lens_that_diffracts_the_interval_holds_the_width(seed):
    shot = picture("overexposed", seed)  # 1.09 and 1.30 times full scale, with a halo
    result = measure_apex(read_picture(shot.data, tone="srgb"), shot.um_per_px)
    assert result.width_um.low < shot.truth.width_um < result.width_um.high
    assert result.width_um.mean == pytest.approx(shot.truth.width_um, rel=0.02)


def test_a_land_far_beyond_the_scale_is_refused_as_overexposed():
    shot = picture("overexposed", 18)  # 3.4 times full scale
    result = measure_apex(read_picture(shot.data, tone="srgb"), shot.um_per_px)
    assert result.status == "refused"
    assert result.reasons[0].code == "saturated"


def test_a_picture_of_black_and_white_alone_is_refused_without_a_warning():
    """No lens explains flanks that have no grey in them."""
    grey = render_apex(width_um=6, um_per_px=0.42, rng=np.random.default_rng(1))[0]
    result = measure_apex(linear(np.where(grey > 128, 1.0, 0.0)), 0.42)
    assert [reason.code for reason in result.reasons] == ["saturated"]
