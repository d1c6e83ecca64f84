"""Land and lens unlike the model: corrected or doubted, never a confident wrong width."""

import numpy as np
import pytest

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import linear_light, srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.store.images import read_picture
from tests.benchmarks.pictures.kinds import picture
from tests.photo.light import linear

LINEAR = np.asarray(srgb_decode(np.arange(256) / 255), dtype=np.float32)


def measured(**settings):
    """Result, its warning codes, and the width that was drawn."""
    picture, truth = render_apex(rng=np.random.default_rng(1), **settings)
    result = measure_apex(linear_light(picture, "srgb"), 1.0)
    assert result.status == "measured", result.reasons
    return result, [reason.code for reason in result.doubts], truth["width_um"]


def covers(result, width_um):
    return result.width_um.low < width_um < result.width_um.high


@pytest.mark.parametrize("fall", [0.3, 0.5, 0.9])
@pytest.mark.parametrize("width_um", [16.0, 40.0, 100.0])
def test_rounded_land_is_read_out_to_its_sides_and_said(width_um, fall):
    result, codes, truth = measured(width_um=width_um, round_land=fall)
    assert "rounded_land" in codes
    assert covers(result, truth)
    # A flat land fitted to it reads 7 %, 14 % and 30 % narrow.
    assert result.width_um.mean == pytest.approx(truth, rel=0.01 if fall < 0.6 else 0.06)


@pytest.mark.parametrize("tilt_deg", [0.0, 6.0])
def test_a_narrow_dome_is_not_taken_for_a_narrower_flat_land_with_confidence(tilt_deg):
    result, _, truth = measured(width_um=8.0, round_land=0.9, tilt_deg=tilt_deg)
    # A flat land fits it within a thousandth of the light, 30 % narrower.
    assert covers(result, truth)


@pytest.mark.parametrize("width_um", [14.0, 50.0])
def test_bevels_that_brighten_outward_do_not_narrow_the_land(width_um):
    result, codes, truth = measured(width_um=width_um, bevel_slope=0.3)
    # Even bevels fitted to it leave it 0.19 px narrow; corners that nothing excludes, 0.03.
    assert result.width_um.mean == pytest.approx(truth, abs=0.04)
    assert covers(result, truth)
    assert codes == []


def test_defocus_disc_is_told_from_a_gaussian():
    result, _, truth = measured(width_um=16.0, blur_px=2.5, disc=True)
    # Fitted as a Gaussian it reads 0.14 px narrow.
    assert result.width_um.mean == pytest.approx(truth, abs=0.02)


def test_movement_across_a_wide_land_is_said_and_along_it_is_harmless():
    result, codes, truth = measured(width_um=80.0, motion_px=12.0, motion_deg=90.0)
    assert "camera_moved" in codes
    assert result.width_um.mean == pytest.approx(truth, abs=0.03)
    result, codes, truth = measured(width_um=20.0, motion_px=25.0, motion_deg=0.0)
    assert codes == []
    assert result.width_um.mean == pytest.approx(truth, abs=0.015)


@pytest.mark.parametrize(("width_um", "motion_px", "seed"), [(6.0, 9.0, 2), (10.0, 25.0, 1)])
def test_movement_that_may_be_exchanged_with_the_land_is_in_the_interval(width_um, motion_px, seed):
    picture, _ = render_apex(
        width_um=width_um,
        motion_px=motion_px,
        motion_deg=90.0,
        bevel_grain=0.1,
        rng=np.random.default_rng(seed),
    )
    result = measure_apex(linear(LINEAR[picture]), 1.0)
    if result.status == "refused":
        assert result.reasons[0].code == "motion_blur"
    else:
        assert "camera_moved" in [reason.code for reason in result.doubts]
        assert covers(result, width_um)


@pytest.mark.parametrize("amount", [0.5, 1.5])
def test_sharpening_is_said_and_its_doubt_is_in_the_interval(amount):
    result, codes, truth = measured(width_um=14.0, sharpen=amount)
    assert "sharpened" in codes
    assert covers(result, truth)


def test_rolled_edge_has_one_soft_side():
    picture, truth = render_apex(width_um=30.0, noise=0.0, rng=np.random.default_rng(1))
    soft, _ = render_apex(width_um=30.0, blur_px=4.0, noise=0.0, rng=np.random.default_rng(1))
    light = LINEAR[picture]
    light[240:] = LINEAR[soft][240:]
    light = light + 0.01 * np.random.default_rng(2).standard_normal(light.shape)
    result = measure_apex(linear(light), 1.0)
    assert "rolled_edge" in [reason.code for reason in result.doubts]
    assert covers(result, truth["width_um"])


def test_scale_at_which_light_could_not_be_so_sharp():
    picture, _ = render_apex(width_um=14.0, rng=np.random.default_rng(1))
    codes = [reason.code for reason in measure_apex(linear(LINEAR[picture]), 0.02).doubts]
    assert codes == ["scale_mismatch"]


def test_edge_on_a_fifth_of_the_picture_is_measured_where_it_is():
    result, codes, truth = measured(width_um=14.0, span=(0.4, 0.6), bevel_grain=0.3, tilt_deg=10)
    assert codes == ["partly_measured"]
    # Whether the camera sharpened is not told: up to 0.1 px is in the interval.
    assert result.width_um.mean == pytest.approx(truth, abs=0.06)
    assert covers(result, truth)
    assert result.share_measured == pytest.approx(0.19, abs=0.03)
    # Positions still count from the picture's border: 0.4 to 0.6 of 650 px.
    assert result.position_um[result.used].min() == pytest.approx(265, abs=10)
    assert result.centre_rc[result.used, 1].min() == pytest.approx(257, abs=10)


# Plain lands of the second world, whose lenses diffract: read as a Gaussian's they come out up to
# 3 % wide.
@pytest.mark.parametrize("seed", [121, 125])
def test_diffraction_explains_a_narrow_land_and_corrects_its_width(seed):
    made = picture("narrow", seed)
    result = measure_apex(read_picture(made.data, tone="srgb"), made.um_per_px)
    truth = made.truth.width_um
    assert result.width_um.low < truth < result.width_um.high
    assert result.width_um.mean == pytest.approx(truth, rel=0.012)


@pytest.mark.parametrize("seed", [304, 346, 510, 576])
def test_wide_look_of_a_narrow_land_out_of_focus_is_refused(seed):
    made = picture("defocused", seed)
    result = measure_apex(read_picture(made.data, tone="srgb"), made.um_per_px)
    assert [reason.code for reason in result.reasons] == ["out_of_focus"]


@pytest.mark.parametrize("seed", [612, 750, 758])
def test_soft_land_that_may_be_narrower_has_an_upper_limit(seed):
    made = picture("defocused", seed)
    result = measure_apex(read_picture(made.data, tone="srgb"), made.um_per_px)
    assert result.width_um is None
    assert "wide_or_blurred" in [doubt.code for doubt in result.doubts]
    assert made.truth.width_um < result.below_um < 4 * made.truth.width_um
