"""A picture that shows no width is refused for what is wrong with it, not for having no band."""

import cv2
import numpy as np
import pytest
from scipy.special import ndtr

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.refusal_reasons import pixel_noise, steepest_step
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from tests.photo.light import linear


def edge(seed=5, **settings):
    rng = np.random.default_rng(seed)
    picture, _ = render_apex(rng=rng, **({"width_um": 14.0, "bevel_grain": 0.2} | settings))
    return np.asarray(srgb_decode(picture / 255.0), dtype=np.float32)


def reason(light):
    result = measure_apex(linear(np.asarray(light, dtype=np.float32)), 1.0)
    assert result.status == "refused"
    return result.reasons[0].code


def lit_within_a_halo(light):
    bright = 4 * light + 0.6 * cv2.GaussianBlur(light, (0, 0), 25)
    return np.clip(bright, 0, 1)


def test_overexposed_within_a_halo_is_overexposed():
    assert reason(lit_within_a_halo(edge(land=0.8, width_um=30.0))) == "saturated"


def test_two_edges_aslant_to_each_other_are_two_bands():
    first = edge(offset_px=-70.0, tilt_deg=6.0)
    second = edge(offset_px=70.0, tilt_deg=-6.0)
    assert reason(np.maximum(first, second)) == "two_bands"


@pytest.mark.parametrize("upright", [False, True])
def test_edge_along_the_border_reaches_it(upright):
    light = edge(width_um=30.0)
    light = light[: light.shape[0] // 2]
    assert reason(light.T.copy() if upright else light) == "land_fills_frame"


def test_edge_that_leaves_on_its_way_reaches_the_border():
    light = edge(width_um=30.0, tilt_deg=30.0)
    assert reason(light[:70]) == "land_fills_frame"


def test_hardly_any_light_is_too_dark():
    assert reason(0.012 * edge(land=0.7, bevels=(0.4, 0.6))) == "too_dark"


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_few_electrons_are_noise(seed):
    rng = np.random.default_rng(seed)
    counts = rng.poisson(20 * edge(seed, land=0.3, bevels=(0.25, 0.25)))
    light = counts / 20 + 0.2 * rng.standard_normal(counts.shape)
    assert reason(np.clip(light, 0, 1)) == "too_noisy"


@pytest.mark.parametrize("haze", [1.5, 4.0])
def test_haze_over_the_picture_leaves_no_contrast(haze):
    light = edge(land=0.6, bevels=(0.5, 0.5), bevel_grain=0.3)
    assert reason((light + haze) / (1 + haze)) == "no_contrast"


def test_one_grey_is_not_inverted():
    rng = np.random.default_rng(4)
    light = 0.5 - 0.02 * edge() + 0.001 * rng.standard_normal(edge().shape)
    assert reason(light) == "no_contrast"


@pytest.mark.parametrize("dark_lines", [False, True])
def test_ruling_is_told_however_its_lines_shine(dark_lines):
    columns = (np.arange(640) + 0.05 * np.arange(480)[:, None]) % 40
    lines = cv2.GaussianBlur(np.where(columns < 6, 0.7, 0.1), (0, 0), 1.3)
    assert reason(0.8 - lines if dark_lines else lines) == "ruling"


def test_bright_borders_of_a_dark_land_are_two_bands():
    borders = edge(width_um=30.0) - 0.9 * edge(width_um=18.0)
    assert reason(np.clip(borders + 0.05, 0, 1)) == "two_bands"


@pytest.mark.parametrize("sd", [0.004, 0.05])
def test_noise_is_told_beside_slopes_of_light(sd):
    y, x = np.mgrid[0:300, 0:400]
    plane = 0.2 + 0.001 * x + 0.0004 * y
    noise = sd * np.random.default_rng(1).standard_normal(plane.shape)
    assert pixel_noise(plane + noise) == pytest.approx(sd, rel=0.03)
    assert pixel_noise(plane) < 1e-9


@pytest.mark.parametrize("blur", [2.0, 5.0])
def test_the_steepest_step_tells_the_blur_of_a_border(blur):
    """A step behind a Gaussian rises by its height over sqrt(2 pi) blurs, smoothed by 1.5 px."""
    x = np.arange(300.0)
    light = np.tile(0.1 + 0.6 * ndtr((x - 150) / blur), (200, 1)).astype(np.float32)
    assert steepest_step(light, 1) == pytest.approx(np.hypot(blur, 1.5), rel=0.05)
    assert steepest_step(light, 3) == pytest.approx(3 * np.hypot(blur, 1.5), rel=0.05)


@pytest.mark.parametrize("offset", [-110.0, 110.0])
def test_overexposed_is_told_by_the_line_wherever_it_runs(offset):
    light = edge(land=0.8, width_um=30.0, offset_px=offset)
    assert reason(lit_within_a_halo(light)) == "saturated"
