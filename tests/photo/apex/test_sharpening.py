"""A camera's sharpening of the stored values: undone where the profile shows it."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter1d

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.lens_edges import HALF_FALL, round_side
from edgetest.photo.apex.mask_model import curve_of
from edgetest.photo.apex.sharpening import undo_sharpening
from edgetest.photo.linear_light import linear_light, srgb_decode, srgb_encode
from edgetest.photo.render.apex_scene import render_apex


@pytest.mark.parametrize("amount", [1.0, 1.8])
def test_strong_sharpening_is_undone_and_said(amount):
    picture, _ = render_apex(
        width_um=24.0, blur_px=1.0, sharpen=amount, rng=np.random.default_rng(3)
    )
    result = measure_apex(linear_light(picture, "srgb"), 1.0)
    assert "sharpened" in [one.code for one in result.doubts]
    assert result.width_um.low < 24.0 < result.width_um.high
    assert result.width_um.mean == pytest.approx(24.0, abs=0.1)


def profile_of(width, corner, blur=1.0, ring=1.6, ground=0.08, land=0.55, amount=0.0):
    """Profile of a land with round corners behind lens and mask, out to the ground."""
    t = np.arange(-25, 25.1, 0.05)
    flat = width / 2 - HALF_FALL * corner
    lens = np.array([[blur]]), np.array([[ring]]), np.array([[corner]])
    rise, fall = round_side((t + flat)[None], *lens)[0], round_side((flat - t)[None], *lens)[0]
    stored = np.asarray(srgb_encode(ground + (land - ground) * (rise + fall - 1)), dtype=float)
    stored += amount * (stored - gaussian_filter1d(stored, 1.2 / 0.05))
    light = np.asarray(srgb_decode(stored), dtype=float)
    light = np.convolve(light, np.repeat(0.05, 20), "same")[10:-10:10]
    return t[10:-10:10], (light - ground) / (land - ground), np.full(light.size, 0.0015)


@pytest.mark.parametrize("amount", [0.0, 1.2])
@pytest.mark.parametrize("corner", [1e-3, 1.0, 1.6])
def test_round_corners_and_a_mask_are_told_apart(corner, amount):
    profile = profile_of(20.0, corner, amount=amount)
    found = undo_sharpening(profile, (0.08, 0.47), (20.0, 1.3, 2.5), curve_of("srgb"))
    assert found.chi2 < 1
    assert found.width_px == pytest.approx(20.0, abs=0.15)
    assert found.u_px < 0.1
    assert (found.amount > 0.3) == (amount > 0)


def test_widths_scatter_as_their_uncertainty_says():
    """Noise of 0.0015 of the contrast on a plain land; the mask that is looked for widens it."""
    t, value, sd = profile_of(20.0, 1e-3)
    rng = np.random.default_rng(1)
    misses, told = [], []
    for _ in range(8):
        noisy = t, value + sd * rng.standard_normal(value.size), sd
        found = undo_sharpening(noisy, (0.08, 0.47), (20.0, 1.3, 2.5), curve_of("srgb"))
        misses.append(found.width_px - 20.0)
        told.append(found.u_px)
    assert np.sqrt(np.mean(np.square(misses))) < 2 * np.mean(told)
    assert np.std(misses) > 0.15 * np.mean(told)
    assert np.ptp(told) < 0.7 * np.mean(told)
