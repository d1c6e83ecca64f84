"""Apex view: the width that a photograph was rendered with must come back."""

import json
from dataclasses import replace

import numpy as np
import pytest

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from tests.photo.light import linear

LINEAR = np.asarray(srgb_decode(np.arange(256) / 255), dtype=np.float32)


def photograph(seed=1, **settings):
    """Linear light and truth of a rendered edge, 8 bits and sRGB."""
    picture, truth = render_apex(rng=np.random.default_rng(seed), **settings)
    return LINEAR[picture], truth


@pytest.mark.parametrize("width_um", [6.0, 14.0, 37.0, 60.0])
@pytest.mark.parametrize("tilt_deg", [0.0, -27.0])
def test_plain_edge_comes_back_to_a_hundredth_of_a_pixel(width_um, tilt_deg):
    light, truth = photograph(width_um=width_um, tilt_deg=tilt_deg)
    result = measure_apex(linear(light), 1.0)
    assert result.status == "measured"
    # 0.015 px is three standard errors of noise, pixel sampling and rounding together.
    assert result.width_um.mean == pytest.approx(truth["width_um"], abs=0.015)
    assert result.width_um.low < truth["width_um"] < result.width_um.high
    assert result.width_um.high - result.width_um.low < 0.06


def test_scale_multiplies_every_length():
    light, _ = photograph(width_um=14.0)
    one, half = (
        measure_apex(linear(light), 1.0),
        measure_apex(linear(light), 0.5),
    )
    assert half.width_um.mean == pytest.approx(one.width_um.mean / 2, rel=1e-9)
    assert half.measured_length_um == pytest.approx(one.measured_length_um / 2)
    np.testing.assert_allclose(half.position_um, one.position_um / 2)


def test_scale_uncertainty_widens_the_interval_but_not_its_own_share():
    light, _ = photograph(width_um=14.0)
    sure = measure_apex(linear(light), 1.0)
    unsure = measure_apex(linear(light), 1.0, scale_relative_u=0.01)
    assert unsure.width_u_um == pytest.approx(sure.width_u_um)
    half = (unsure.width_um.high - unsure.width_um.low) / 2
    assert half == pytest.approx(1.96 * np.hypot(sure.width_u_um, 0.14), rel=1e-3)


def test_unknown_tone_reaches_as_far_as_any_usual_camera():
    light, _ = photograph(width_um=14.0)
    known = measure_apex(linear(light), 1.0)
    named, unknown = (
        measure_apex(replace(linear(light), tone_known=False, tone_named=named), 1.0)
        for named in (True, False)
    )
    assert known.width_um.mean == named.width_um.mean == unknown.width_um.mean
    assert unknown.width_u_um == known.width_u_um
    assert named.width_um.low < known.width_um.low - 0.2
    assert named.width_um.high < unknown.width_um.high - 0.02
    assert "tone_named" in [reason.code for reason in named.doubts]
    assert "tone_unknown" in [reason.code for reason in unknown.doubts]


@pytest.mark.parametrize("turn", [1, 2, 3])
def test_upright_or_upside_down_measures_as_well(turn):
    light, truth = photograph(width_um=11.0, tilt_deg=8.0, bevel_grain=0.1)
    result = measure_apex(linear(np.rot90(light, turn)), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], abs=0.03)


def test_hard_edge_with_recurve_dust_scratches_and_label():
    light, truth = photograph(
        shape=(600, 800), width_um=22.0, tilt_deg=18.0, recurve_px=25.0, bow_px=20.0,
        width_sd=0.04, land_grain=0.1, bevel_grain=0.3, dust=12, scratches=6,
        uneven_light=0.35, label="x50  100 um",
    )  # fmt: skip
    result = measure_apex(linear(light), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.008)
    assert result.width_um.low < truth["width_um"] < result.width_um.high
    assert result.share_measured > 0.7


def test_wide_land_to_a_two_thousandth():
    light, truth = photograph(shape=(720, 960), width_um=190.0, tilt_deg=7.0)
    assert measure_apex(linear(light), 1.0).width_um.mean == pytest.approx(
        truth["width_um"], rel=5e-4
    )


def test_edge_that_covers_half_the_picture():
    light, truth = photograph(width_um=16.0, span=(0.2, 0.7), tilt_deg=9.0)
    result = measure_apex(linear(light), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.002)
    assert result.measured_length_um == pytest.approx(truth["edge_length_um"], rel=0.1)


def test_focus_that_changes_along_the_edge_is_followed_and_said():
    light, truth = photograph(width_um=40.0, blur_px=(2.0, 7.0))
    result = measure_apex(linear(light), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.002)
    assert "focus_varies" in [reason.code for reason in result.doubts]


def test_blur_is_the_lens_and_the_pixel():
    light, _ = photograph(width_um=40.0, blur_px=2.0)
    # A square pixel adds a variance of 1/12; straightening a little more (up to 1/6).
    assert (
        np.sqrt(4 + 1 / 12) - 0.02 < measure_apex(linear(light), 1.0).blur_px < np.sqrt(4.25) + 0.02
    )


def test_overexposed_land_is_measured_from_its_flanks():
    light, truth = photograph(width_um=30.0, land=1.45, bevels=(0.1, 0.15), tilt_deg=5.0)
    result = measure_apex(linear(light), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], abs=0.1)
    assert result.width_um.low < truth["width_um"] < result.width_um.high
    assert "saturated_band" in [reason.code for reason in result.doubts]


def test_chips_are_found_sized_and_left_out_of_the_width():
    chips = ((150.0, 40.0, 9.0, 1), (420.0, 25.0, 6.0, -1))
    light, truth = photograph(width_um=14.0, tilt_deg=4.0, chips=chips)
    result = measure_apex(linear(light), 1.0)
    assert [chip.side for chip in result.chips] == [1, -1]
    for found, (position, length, depth, _) in zip(result.chips, chips, strict=True):
        assert found.position_um == pytest.approx(position, abs=2.0)
        assert found.length_um == pytest.approx(length, rel=0.12)
        assert found.depth_um == pytest.approx(depth, rel=0.08)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.0025)
    inside = np.abs(result.position_um - 150.0) < 15
    assert not result.used[inside].any()


def test_region_and_struck_out_stretches_are_obeyed():
    light, _ = photograph(width_um=14.0, second_band=(60.0, 10.0, 0.5))
    assert measure_apex(linear(light), 1.0).reasons[0].code == "two_bands"
    result = measure_apex(linear(light), 1.0, region=(200, 0, 270, 640))
    assert result.width_um.mean == pytest.approx(14.0, abs=0.03)
    # The overlay stays in pixels of the whole photograph.
    assert 235 < np.median(result.centre_rc[:, 0]) < 245
    shorter = measure_apex(linear(light), 1.0, region=(200, 0, 270, 640), excluded=((0.0, 300.0),))
    assert not shorter.used[shorter.position_um <= 300.0].any()
    assert shorter.measured_length_um == pytest.approx(340.0, abs=12)


def test_overlay_lies_on_the_sides_of_the_land():
    light, _ = photograph(width_um=20.0, shape=(480, 640))
    result = measure_apex(linear(light), 1.0)
    # Level edge through the middle of 480 rows: its sides at rows 229.5 and 249.5.
    np.testing.assert_allclose(result.left_rc[result.used, 0], 229.5, atol=0.25)
    np.testing.assert_allclose(result.right_rc[result.used, 0], 249.5, atol=0.25)
    assert result.centre_rc.shape == (result.used.size, 2) == (result.width_px.size, 2)


def test_json_has_the_agreed_keys_and_no_infinities():
    light, _ = photograph(width_um=14.0)
    text = json.dumps(measure_apex(linear(light), 0.8).to_dict(), allow_nan=False)
    said = json.loads(text)
    assert set(said) == {
        "status", "reasons", "width_um", "below_um", "measured_length_um", "share_measured",
        "blur_px", "snr", "scale", "chips", "warnings", "doubts", "width_u_um",
        "light", "w30_um", "apex", "crest",
    }  # fmt: skip
    assert set(said["width_um"]) == {"mean", "low", "high", "sd_along_edge", "p05", "p50", "p95"}
    assert said["scale"] == {"um_per_px": 0.8, "relative_u": 0.0}


def test_summary_is_a_sentence_with_its_interval():
    light, _ = photograph(width_um=14.0)
    assert measure_apex(linear(light), 1.0).summary().startswith("bright line 14.0")


def test_real_change_of_the_width_is_told_as_spread_not_as_doubt():
    light, truth = photograph(width_um=30.0, width_sd=0.08, width_grain_um=80.0)
    result = measure_apex(linear(light), 1.0)
    assert result.width_um.sd_along_edge == pytest.approx(truth["width_sd_um"], rel=0.05)
    assert result.width_um.p05 == pytest.approx(truth["p05_um"], rel=0.01)
    assert result.width_um.p95 == pytest.approx(truth["p95_um"], rel=0.01)
    assert result.width_um.high - result.width_um.low < 0.2 * truth["width_sd_um"]


@pytest.mark.parametrize(("width_um", "blur_px"), [(4.0, 0.8), (8.0, 1.3)])
def test_a_picture_without_noise_is_followed_to_its_borders(width_um, blur_px):
    light, truth = photograph(width_um=width_um, blur_px=blur_px, noise=0.0, tilt_deg=7.0)
    result = measure_apex(linear(light), 1.0)
    assert result.chips == ()
    # A land of few blurs bears what is not known of the lens and of the camera's sharpening.
    assert result.width_um.mean == pytest.approx(truth["width_um"], abs=0.035)
    assert result.width_um.low < truth["width_um"] < result.width_um.high
    assert result.used.mean() > 0.97
    # Along the whole path the middle runs straight through the picture's middle.
    y, x = (result.centre_rc[result.used] + 0.5 - np.array([240.0, 320.0])).T
    off = y * np.cos(np.deg2rad(7)) - x * np.sin(np.deg2rad(7))
    assert np.abs(off).max() < 0.1


def test_a_deep_chip_is_one_chip_and_no_part_of_the_mean():
    chips = ((200.0, 60.0, 20.0, 1), (420.0, 50.0, 16.0, -1))
    light, truth = photograph(width_um=11.0, tilt_deg=8.0, chips=chips)
    result = measure_apex(linear(light), 1.0)
    assert len(result.chips) == 2
    for found, (position, _, depth, side) in zip(result.chips, chips, strict=True):
        assert found.position_um == pytest.approx(position, abs=3)
        assert found.depth_um == pytest.approx(depth, rel=0.1)
        assert found.side == side
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.002)


@pytest.mark.parametrize("seed", [71, 72])
def test_a_land_that_swells_has_no_chips(seed):
    light, _ = photograph(
        seed, width_um=40.0, width_sd=0.05, width_grain_um=90.0, label="x50  100 um"
    )
    assert measure_apex(linear(light), 1.0).chips == ()
