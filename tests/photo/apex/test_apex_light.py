"""Declared light bounds the apex behind a bright line: never below the truth, never unbounded."""

import numpy as np
import pytest

from edgetest.doubts import codes, doubt
from edgetest.photo.apex.apex_light import (
    SLOPES,
    WORST,
    Lighting,
    height_lost_ratio,
    in_light,
    leaning_sine,
    least_sine,
    wrong_light,
)
from edgetest.photo.apex.apex_result import ApexMeasurement, WidthSummary, refused
from tests.benchmarks.shining_lean import shining_sine

ON_AXIS = Lighting("on-axis", 0.1)


def line_of(width_um, share=0.01):
    """A bright line measured so wide, within a share of it."""
    ends = [width_um * (1 - share), width_um * (1 + share)]
    return ApexMeasurement("measured", width_um=WidthSummary(width_um, *ends, 0, *ends, width_um))


@pytest.mark.parametrize("na", [0.02, 0.1, 0.28])
@pytest.mark.parametrize("share", [0, 1])
@pytest.mark.parametrize("slope", [0.01, 0.05, 0.2])
def test_the_formula_is_the_sum_over_both_pupils(na, share, slope):
    assert leaning_sine(na, slope) == pytest.approx(shining_sine(na, share * na, slope), rel=WORST)


def test_a_mirror_shines_while_the_lens_still_catches_the_lamp():
    """Closed form: a narrow beam is turned by twice the lean and leaves the lens at NA / 2."""
    assert shining_sine(0.2, 0.0, 0.01) == pytest.approx(0.1, rel=0.01)


def test_rough_facets_alone_give_half_the_light_where_their_slopes_are_half_as_many():
    """Closed form: a Gaussian has half its height at sqrt(2 ln 2) standard deviations."""
    half = np.sqrt(2 * np.log(2)) * 0.05
    assert shining_sine(0.001, 0.001, 0.05) == pytest.approx(half, rel=0.01)


@pytest.mark.parametrize("lens_na", [0.03, 0.05, 0.1, 0.28])
@pytest.mark.parametrize("lamp_share", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("slope", [SLOPES[0], 0.05, SLOPES[1]])
@pytest.mark.parametrize(("flat_um", "radius_um"), [(12, 0), (0, 30), (6, 8)])
def test_the_bracket_holds_every_apex(lens_na, lamp_share, slope, flat_um, radius_um):
    lamp_na = lens_na * lamp_share
    line = flat_um + 2 * radius_um * shining_sine(lamp_na, lens_na, slope)
    for noted in (None, lamp_na):
        seen = in_light(line_of(line), Lighting("on-axis", lens_na, noted))
        assert seen.w30_um.low <= flat_um + radius_um <= seen.w30_um.high
        assert seen.w30_um.value is None
        assert seen.apex.flat_um == line
        assert seen.apex.round_up_to_radius_um == seen.w30_um.high


def test_a_round_crest_is_not_called_keen():
    seen = in_light(ApexMeasurement("measured", below_um=2.5), ON_AXIS)
    assert seen.w30_um.low == 0
    assert seen.w30_um.high == pytest.approx(2.5 * 0.5 / least_sine(ON_AXIS))
    radius = f"{seen.w30_um.high:.3g}"
    assert seen.summary() == (
        f"bright line below 2.5 µm: a flat no wider, or round up to radius {radius} µm"
    )


def test_the_bell_of_a_round_crest_may_have_been_taken_for_blur():
    """A Gaussian bell of light, all of it told as blur, is a crest of its half height's width."""
    bell_um, blur_px = 6.0, 6.0 / np.sqrt(8 * np.log(2)) / 0.4
    line = ApexMeasurement("measured", below_um=1.0, blur_px=blur_px, um_per_px=0.4)
    seen = in_light(line, ON_AXIS)
    assert seen.w30_um.low == 0
    assert seen.w30_um.high == pytest.approx(np.hypot(1.0, bell_um) / 2 / least_sine(ON_AXIS))


def test_light_that_is_not_noted_gives_the_line_alone():
    seen = in_light(line_of(9.0), Lighting())
    assert seen.w30_um is None
    assert seen.apex is None
    assert codes(seen.doubts) == ("light_not_noted",)
    assert seen.summary().endswith("or a round crest of unknown radius (light not noted)")


def test_an_aperture_that_is_not_noted_leaves_no_upper_end():
    seen = in_light(line_of(9.0), Lighting("on-axis", None, 0.1))
    assert seen.to_dict()["w30_um"] == {"value": None, "low": pytest.approx(8.91), "high": None}
    assert codes(seen.doubts) == ("aperture_not_noted",)
    assert seen.summary().endswith("or a round crest of unknown radius (lens aperture not noted)")
    assert seen.w30_um.words() == "at least 8.91 µm"


def test_a_larger_aperture_of_the_lamp_narrows_the_bracket():
    alone, with_lamp = least_sine(ON_AXIS), least_sine(Lighting("on-axis", 0.1, 0.2))
    assert with_lamp > 1.5 * alone
    assert least_sine(Lighting("on-axis", 0.1, 0.02)) == alone


@pytest.mark.parametrize(("direction", "says"), [
    ("ring", "two opposite sectors"), ("dome", "two opposite sectors"),
    ("two sectors", "through the lens"),
])  # fmt: skip
def test_light_from_aside_is_refused_with_what_to_do(direction, says):
    assert says in wrong_light(Lighting(direction)).text
    assert wrong_light(ON_AXIS) is None
    assert wrong_light(Lighting()) is None


@pytest.mark.parametrize("included_deg", [20, 30, 60])
def test_a_round_crest_has_lost_more_height_than_a_flat_of_one_w30(included_deg):
    """By construction: the circle that touches both bevels, its top below their crossing."""
    half = np.radians(included_deg / 2)
    down = np.linspace(0, 10, 1_000_001)  # below where the bevels would cross
    to_bevel, apart = down * np.sin(half), 2 * down * np.tan(half)
    round_lost = np.interp(1, to_bevel, down) - 1  # the centre, one radius below the top
    flat_lost = np.interp(1, apart, down)
    assert height_lost_ratio(included_deg) == pytest.approx(round_lost / flat_lost)


def test_a_soft_picture_may_be_a_round_crest():
    soft = in_light(refused(doubt("out_of_focus")), ON_AXIS)
    assert codes(soft.reasons) == ("out_of_focus", "soft_or_round")
    assert codes(in_light(refused(doubt("no_band")), ON_AXIS).reasons) == ("no_band",)


def test_a_refused_picture_has_no_apex():
    seen = in_light(refused(wrong_light(Lighting("ring"))), Lighting("ring", 0.1))
    told = seen.to_dict()
    assert (told["w30_um"], told["apex"], seen.doubts) == (None, None, ())
    assert told["light"] == {"direction": "ring", "lens_na": 0.1, "lamp_na": None}
