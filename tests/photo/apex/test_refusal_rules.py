"""What is no edge, or cannot be measured, is refused with its reason; nothing raises."""

import cv2
import numpy as np
import pytest

from edgetest.doubts import catalogue
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.first_guess import Context
from edgetest.photo.apex.refusal_rules import bands_beside, is_ruled
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from tests.photo.light import linear

ROWS, COLS = 480, 640


def edge(**settings):
    rng = np.random.default_rng(5)
    picture, _ = render_apex(rng=rng, **({"width_um": 14.0, "bevel_grain": 0.2} | settings))
    return np.asarray(srgb_decode(picture / 255.0), dtype=np.float32)


def codes(light, **options):
    result = measure_apex(linear(light), 1.0, **options)
    assert result.status == "refused"
    assert result.width_um is None
    for reason in result.reasons:
        assert reason.text.startswith(catalogue()[reason.code].says)
    return [reason.code for reason in result.reasons]


def ruling(pitch, line):
    x = (np.arange(COLS) + 0.37 * np.arange(ROWS)[:, None]) % pitch
    return cv2.GaussianBlur(np.where(x < line, 0.1, 0.7).astype(np.float32), (0, 0), 1.3)


def test_no_scale():
    for scale in (None, 0.0, -1.0, np.nan):
        assert measure_apex(linear(edge()), scale).reasons[0].code == "no_scale"


@pytest.mark.parametrize("shape", [(1, 1), (3, 2000), (20, 20)])
def test_too_small(shape):
    assert codes(np.full(shape, 0.3)) == ["too_small"]


def test_black_and_plain_grey():
    assert codes(np.zeros((ROWS, COLS))) == ["too_dark"]
    assert codes(np.full((ROWS, COLS), 0.5)) == ["no_contrast"]


def test_bevel_without_an_edge():
    assert codes(edge(land=0.08, bevels=(0.08, 0.08)))[0] in {"no_band", "no_contrast"}


def test_noise():
    rng = np.random.default_rng(2)
    assert codes(rng.uniform(0, 1, (ROWS, COLS))) == ["too_noisy"]
    soft = cv2.GaussianBlur(rng.standard_normal((ROWS, COLS)), (0, 0), 3)
    assert codes(np.clip(0.5 + 1.5 * soft, 0, 1))[0] in {"no_band", "glints_only"}


@pytest.mark.parametrize("noise", [0.4, 0.8])
def test_land_under_as_much_noise(noise):
    assert codes(edge(noise=noise, width_um=20.0)) == ["too_noisy"]


@pytest.mark.parametrize(("width_um", "motion_px"), [(10, 12), (20, 12), (20, 25), (14, 40)])
def test_camera_that_moved_across_a_narrow_land(width_um, motion_px):
    # A land of 10 px behind 25 px of movement looks like one of 25 px behind 10 px.
    light = edge(width_um=width_um, motion_px=motion_px, motion_deg=90.0, bevel_grain=0.0)
    assert codes(light) == ["motion_blur"]


@pytest.mark.parametrize("settings", [
    pytest.param({"blur_px": 30.0}, marks=pytest.mark.slow),
    {"blur_px": 10.0, "disc": True}, {"blur_px": 16.0, "disc": True},
])  # fmt: skip
def test_land_lost_in_the_blur_has_an_upper_limit_at_most(settings):
    result = measure_apex(linear(edge(**settings)), 1.0)
    assert result.width_um is None
    told = [reason.code for reason in (*result.reasons, *result.doubts)]
    assert told[-1] in ("out_of_focus", "soft_or_round", "wide_or_blurred")
    assert result.below_um is None or result.below_um > 14.0


def test_edge_on_a_tenth_of_the_picture_is_too_short():
    light = edge(span=(0.4, 0.5), shape=(480, 1280), bevel_grain=0.1)
    assert codes(light) == ["too_short"]


def test_glints():
    rng = np.random.default_rng(3)
    light = np.full((ROWS, COLS), 0.05, dtype=np.float32)
    for _ in range(25):
        centre = int(rng.uniform(0, COLS)), int(rng.uniform(0, ROWS))
        cv2.circle(light, centre, int(rng.uniform(2, 9)), 0.8, -1)
    light = cv2.GaussianBlur(light, (0, 0), 1.3)
    assert codes(light)[0] in {"no_band", "glints_only"}


@pytest.mark.parametrize("distance", [28.0, 55.0, 130.0])
def test_two_bands(distance):
    assert codes(edge(second_band=(distance, 10.0, 0.5))) == ["two_bands"]


def test_dark_band():
    assert codes(edge(land=0.05, bevels=(0.6, 0.6))) == ["inverted"]
    assert codes(1 - edge()) == ["inverted"]


@pytest.mark.parametrize(("pitch", "line"), [(8, 2), (20, 4), (40, 6)])
def test_stage_micrometer(pitch, line):
    assert codes(ruling(pitch, line)) == ["ruling"]


def test_land_over_the_border_and_land_everywhere():
    assert codes(edge(width_um=200.0, offset_px=190.0))[0] in {"land_fills_frame", "no_band"}
    assert codes(edge(width_um=700.0))[0] in {"land_fills_frame", "no_band", "no_contrast"}


def test_blown_out_narrow_land_is_refused_not_guessed():
    result = measure_apex(linear(edge(land=3.5, bevels=(0.2, 0.3), width_um=6.0)), 1.0)
    assert result.status == "refused"


def test_summary_of_a_refusal_says_why():
    said = measure_apex(linear(np.zeros((100, 100))), 1.0).summary()
    assert said.startswith("not measured: The picture is too dark")


def test_specks_without_any_noise_are_refused():
    # Every place between them has neither contrast nor noise.
    light = np.full((240, 320), 0.1, np.float32)
    specks = np.random.default_rng(5).uniform((0, 0, 2), (320, 240, 9), (25, 3)).astype(int)
    for column, row, radius in specks.tolist():
        cv2.circle(light, (column, row), radius, 0.8, -1)
    assert codes(cv2.GaussianBlur(light, (0, 0), 1.3)) == ["no_band"]


@pytest.mark.parametrize("bevel", [0.4, 0.5])
def test_bevels_that_shine_like_the_land_are_no_contrast(bevel):
    assert codes(edge(land=0.6, bevels=(bevel, bevel))) == ["no_contrast"]


def context(bands, *, spread=1e-3, elsewhere=0.0, beside=0.0):
    """A profile with the land from -8 to 8 px on a ground of 0.1, and (place, height) beside."""
    x = np.arange(-150.0, 151)
    profile = 0.1 + 0.6 * (np.abs(x) <= 8)
    for place, height in bands:
        profile = np.maximum(profile, 0.1 + 0.6 * height * (np.abs(x - place) <= 4))
    return Context(x, profile, np.ones(x.size), -8.5, 8.5, 0.7, 0.1, 0.1,
                   np.full(x.size, spread), elsewhere, beside)  # fmt: skip


def test_bands_beside_are_told_with_their_place_and_height():
    found = bands_beside(context([(-60, 0.5), (40, 0.8), (90, 0.2), (120, 0.1)]))
    assert [round(height, 2) for _, height in found] == [0.5, 0.8, 0.2]  # a tenth is too faint
    np.testing.assert_allclose([place for place, _ in found], [-60, 40, 90], atol=4.1)
    # One within the land's own width, a slope of light, and what is lost in the scatter: none.
    assert bands_beside(context([(11, 0.5)])) == []
    assert bands_beside(context([(40, 0.4)], spread=0.06)) == []
    rough = context([(40, 0.4)])
    rough.spread[rough.x > 20] = 0.06
    assert bands_beside(rough) == []
    assert len(bands_beside(rough, wandering=True)) == 1
    wide = context([])
    wide.profile[wide.x > 45] = 0.4
    assert bands_beside(wide) == []


@pytest.mark.parametrize(
    ("beside", "ruled"),
    [
        ([(-40, 0.9), (40, 0.5), (80, 0.7), (120, 0.9)], True),  # even
        ([(-40, 0.6), (25, 0.6), (95, 0.62), (140, 0.6)], True),  # alike
        ([(-40, 0.9), (25, 0.5), (95, 0.7), (140, 0.4)], False),
        ([(-40, 0.6), (40, 0.6)], False),  # two do not make a ruling
    ],
)
def test_a_ruling_is_even_or_alike(beside, ruled):
    assert is_ruled(beside) == ruled


def test_faint_lines_beside_a_land_are_no_ruling():
    """Scratches along the edge, evenly spaced and a fifth as bright as the land, hide nothing."""
    light = edge(width_um=18.0, bevel_grain=0.05, noise=0.004)
    rows = np.arange(light.shape[0])[:, None] - light.shape[0] // 2
    scratch = np.isin(np.abs(rows), [r + k for r in (60, 100, 140) for k in (0, 1, 2, 3)])
    land = float(np.quantile(light, 0.995))
    scratched = light + 0.2 * land * cv2.GaussianBlur(scratch.astype(np.float32), (0, 0), 1.2)
    result = measure_apex(linear(scratched.astype(np.float32)), 1.0)
    assert result.status == "measured", [one.code for one in result.reasons]
    assert result.width_um.mean == pytest.approx(18.0, abs=0.3)
