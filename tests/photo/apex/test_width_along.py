"""A width with its interval and its doubts, from drawn lands: what each field and doubt says."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.apex.edge_width import measure_apex
from tests.photo.light import linear

ROWS, COLS = 300, 480


def land(width, *, blur=1.6, levels=(0.1, 0.7, 0.2), slope=0.0, noise=0.004, seed=1, part=1.0):
    """A land along the columns, `part` of them; `width` and `blur` may go by column."""
    y, x = np.mgrid[0:ROWS, 0:COLS].astype(float)
    off = (y - 150 - slope * (x - COLS / 2)) / np.hypot(1, slope)
    half = np.asarray(width) / 2
    light = ndtr((off + half) / blur) - ndtr((off - half) / blur)
    light = light * (x < part * COLS)
    ground = levels[0] + (levels[2] - levels[0]) * ndtr(off / blur)
    light = ground + (levels[1] - ground) * light
    light = light + noise * np.random.default_rng(seed).standard_normal(light.shape)
    return np.clip(light, 0, 1).astype(np.float32)


def doubts(found):
    return {one.code for one in found.doubts}


def test_every_field_of_a_plain_land():
    found = measure_apex(linear(land(14.0, slope=0.2)), 2.0, scale_relative_u=0.01)
    assert found.status == "measured"
    assert doubts(found) == set()
    mean = found.width_um
    assert mean.mean == pytest.approx(28.0, abs=0.08)
    assert_allclose([mean.p05, mean.p50, mean.p95], 28.0, atol=0.4)
    assert mean.p05 < mean.p50 < mean.p95
    half = 1.96 * np.hypot(found.width_u_um, 0.28)
    assert_allclose([mean.mean - mean.low, mean.high - mean.mean], half, rtol=1e-3)
    assert found.blur_px == pytest.approx(1.6, abs=0.1)
    assert found.share_measured > 0.95
    length = COLS * np.hypot(1, 0.2) * 2.0
    assert found.measured_length_um == pytest.approx(length * found.share_measured, rel=0.02)
    assert 1 < found.snr / (0.55 / 0.004) < 2  # noise between pixels is averaged
    assert_allclose(np.diff(found.position_um), 2.0 * np.diff(found.position_um)[0] / 2, rtol=1e-6)
    assert found.position_um[-1] == pytest.approx(length, rel=0.02)
    inner = slice(10, -10)
    row, column = found.centre_rc[inner].T
    assert_allclose(row, 150 + 0.2 * (column - COLS / 2), atol=0.15)
    across = np.linalg.norm(found.right_rc - found.left_rc, axis=1)
    assert_allclose(across[inner], 14.0, atol=0.3)
    assert_allclose(found.width_px[inner], 14.0, atol=0.3)


def test_a_region_moves_places_alone():
    grey = land(14.0)
    whole = measure_apex(linear(grey), 1.0)
    part = measure_apex(linear(grey), 1.0, region=(60, 100, 180, 300))
    assert part.width_um.mean == pytest.approx(whole.width_um.mean, abs=0.03)
    row, column = part.centre_rc[10:-10].T
    assert_allclose(row, 150, atol=0.15)
    assert column.min() > 100
    assert column.max() < 400


COLUMN = np.arange(COLS) / COLS


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"width": 20.0, "blur": 1.2 + 1.8 * COLUMN}, "focus_varies"),
        ({"width": 14.0, "part": 0.6}, "partly_measured"),
        ({"width": 24.0, "levels": (0.1, 1.25, 0.1)}, "saturated_band"),
    ],
)
def test_a_doubt_is_said_where_it_is_met(settings, code):
    found = measure_apex(linear(land(**settings)), 1.0)
    assert found.status == "measured", found.reasons
    assert code in doubts(found)


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        ({"width": 20.0, "blur": 1.2 + 0.4 * COLUMN}, "focus_varies"),
        ({"width": 14.0, "part": 0.85}, "partly_measured"),
        ({"width": 14.0 * (0.8 + 0.4 * COLUMN)}, "uneven_width"),
        ({"width": 16.0, "noise": 0.03}, "noisy"),
        ({"width": 24.0, "levels": (0.1, 0.85, 0.1)}, "saturated_band"),
    ],
)
def test_a_doubt_is_not_said_where_it_is_not_met(settings, code):
    found = measure_apex(linear(land(**settings)), 1.0)
    assert found.status == "measured", found.reasons
    assert code not in doubts(found)


@pytest.mark.parametrize(
    ("um_per_px", "met"), [(0.03, True), (0.06, False), (150.0, False), (250.0, True)]
)
def test_a_scale_that_no_lens_has_is_doubted(um_per_px, met):
    """Blur under 0.06 µm or a land over 3 mm: 1.6 px of blur, 14 px of land."""
    assert ("scale_mismatch" in doubts(measure_apex(linear(land(14.0)), um_per_px))) == met


def test_a_faint_band_beside_the_land_is_said():
    y = np.arange(ROWS)[:, None] + np.zeros(COLS)
    beside = 0.15 * np.exp(-0.5 * ((y - 210) / 3) ** 2)
    plain = land(14.0, levels=(0.1, 0.7, 0.1))
    found = measure_apex(linear((plain + beside).astype(np.float32)), 1.0)
    assert "second_band_faint" in doubts(found)
    assert "second_band_faint" not in doubts(measure_apex(linear(plain), 1.0))


def test_a_bright_land_on_black_is_not_too_dark():
    """Nine of ten pixels hold less than 0.4 % of full scale."""
    grey = land(14.0, levels=(0.001, 0.5, 0.001), noise=0.0005)
    found = measure_apex(linear(grey), 1.0)
    assert found.status == "measured"
    assert found.width_um.mean == pytest.approx(14.0, abs=0.1)


def test_an_overexposed_land_is_measured_by_its_flanks():
    found = measure_apex(linear(land(24.0, levels=(0.1, 1.25, 0.1))), 1.0)
    assert found.width_um.low < 24.0 < found.width_um.high
    assert found.width_um.high - found.width_um.low < 4


@pytest.mark.parametrize("levels", [(0.1, 1.25, 0.25), (0.25, 1.25, 0.1), (0.1, 0.7, 0.2)])
@pytest.mark.parametrize("width", [16.0, 24.0])
def test_a_picture_stood_upright_measures_the_same(levels, width):
    grey = land(width, levels=levels, slope=0.1)
    level, upright = (
        measure_apex(linear(np.ascontiguousarray(one)), 1.0) for one in (grey, grey.T)
    )
    assert upright.width_um.mean == pytest.approx(level.width_um.mean, abs=0.02)
    assert upright.width_um.low == pytest.approx(level.width_um.low, abs=0.1)
    assert upright.width_um.high == pytest.approx(level.width_um.high, abs=0.1)
    assert level.width_um.mean == pytest.approx(width, abs=0.25)
    assert doubts(upright) == doubts(level)
