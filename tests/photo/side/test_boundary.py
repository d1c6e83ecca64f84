"""The edge below one pixel: places, blur and noise of strips and pictures known in closed form."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.side.boundary import Strip, boundary, edge_blur, grain, straighten
from edgetest.photo.side.edge_outline import SmoothCurve

OFFSETS = np.arange(-30.0, 31.0)
COUNT = 240


def strip(place, blur=1.2, noise=0.0, seed=0):
    """Blade below, ground above an edge at such offsets, blurred across."""
    cover = ndtr((place - OFFSETS[:, None]) / blur)
    cover = cover + noise * np.random.default_rng(seed).standard_normal(cover.shape)
    none, level = np.zeros((COUNT, 2)), np.ones(COUNT)
    return Strip(cover.astype(np.float32), OFFSETS, np.arange(float(COUNT)), none, none,
                 level, 0 * level)  # fmt: skip


WAVE = 2.3 + 6 * np.sin(np.arange(COUNT) / 30)


@pytest.mark.parametrize("blur", [0.8, 1.5, 3.0])
@pytest.mark.parametrize("astray", [-1.5, 0.0, 2.0])
def test_the_edge_lies_where_the_light_adds_up_to(blur, astray):
    """Wherever the coarse outline looks, and whatever the blur."""
    found = boundary(strip(WAVE, blur), WAVE + astray, 0.0)
    assert_allclose(found.edge, WAVE, atol=0.05)
    assert_allclose(found.outer, found.edge)
    assert_allclose(found.inner, found.edge)
    assert found.single.all()


def test_light_behind_an_overhang_parts_outer_and_inner():
    """Blade to 0, ground to 6, something dark to 10: crossings at 0 and at 10."""
    bare = strip(np.zeros(COUNT), 0.8)
    cover = bare.cover.copy()
    over = slice(100, 140)
    lip = ndtr((10 - OFFSETS) / 0.8) - ndtr((6 - OFFSETS) / 0.8)
    cover[:, over] += lip[:, None].astype(np.float32)
    folded = Strip(cover, OFFSETS, bare.arc, bare.points, bare.normals, bare.bright, bare.dark)
    low = boundary(folded, np.zeros(COUNT), 0.0)
    middle = slice(105, 135)
    assert_allclose(low.edge[middle], 0, atol=0.1)
    assert_allclose(low.inner[middle], 0, atol=0.1)
    assert_allclose(low.outer[middle], 10, atol=1.0)  # told to the pixel
    assert not low.single[middle].any()
    assert low.single[:90].all()
    high = boundary(folded, np.full(COUNT, 10.0), 0.0)
    assert_allclose(high.edge[middle], 10, atol=0.35)
    assert_allclose(high.inner[middle], 0, atol=1.0)
    part = low.cut(90, 120)
    assert_allclose(part.edge, low.edge[90:120])
    assert_allclose(part.outer, low.outer[90:120])


def test_a_blade_that_is_nowhere_full_has_no_edge():
    pale = strip(np.zeros(COUNT))
    cover = pale.cover.copy()
    cover[:, 50:80] *= 0.8
    cover[:, 120:150] = 0
    slim = Strip(cover, OFFSETS, pale.arc, pale.points, pale.normals, pale.bright, pale.dark)
    edge = boundary(slim, np.zeros(COUNT), 0.0).edge
    assert np.isnan(edge[55:75]).all()
    assert np.isnan(edge[125:145]).all()
    assert_allclose(edge[:45], 0, atol=0.05)


@pytest.mark.parametrize("blur", [0.7, 1.5, 4.0])
def test_blur_and_noise_across_the_edge_come_back(blur):
    noisy = strip(WAVE, blur, 0.03, seed=2)
    sound = np.ones(COUNT, bool)
    found, noise = edge_blur(noisy, WAVE, sound)
    # The bins are a quarter of a pixel wide.
    assert found == pytest.approx(np.hypot(blur, 0.25 / np.sqrt(12)), rel=0.02)
    assert noise == pytest.approx(0.03, rel=0.05)
    bent = np.where(np.arange(COUNT) < 100, WAVE + 7, WAVE)  # what is not sound does not count
    again, _ = edge_blur(noisy, bent, np.arange(COUNT) >= 100)
    assert again == pytest.approx(found, rel=0.03)
    assert edge_blur(noisy, WAVE, ~sound) == (np.inf, np.inf)


def test_grain_is_the_noise_of_means_of_nine():
    """White noise of 0.04 counts as 0.04; one that nine neighbours share counts three times."""
    white = strip(np.zeros(COUNT), 1.0, 0.04, seed=3)
    assert grain(white) == pytest.approx(0.04, rel=0.12)
    cover = ndtr(-OFFSETS[:, None] + np.zeros(COUNT)).astype(np.float32)
    rng = np.random.default_rng(4)
    for rows in (slice(0, 3), slice(3, 6), slice(-6, -3), slice(-3, None)):
        cover[rows] += np.repeat(0.04 * rng.standard_normal(COUNT // 3), 3)
    alike = Strip(cover, OFFSETS, white.arc, white.points, white.normals, white.bright, white.dark)
    assert grain(alike) == pytest.approx(0.12, rel=0.15)


@pytest.mark.parametrize("turn_deg", [0.0, 20.0, -35.0])
def test_a_picture_is_straightened_along_its_curve(turn_deg):
    """A straight edge of 0.8 against 0.1 with a slope of light along it, the curve 1.5 px off."""
    turn = np.deg2rad(turn_deg)
    ahead, up = np.array([np.cos(turn), np.sin(turn)]), np.array([np.sin(turn), -np.cos(turn)])
    rows, cols = np.mgrid[0:260, 0:300].astype(float)
    across = (cols - 150) * up[0] + (rows - 130) * up[1]
    along = (cols - 150) * ahead[0] + (rows - 130) * ahead[1]
    ground = 0.8 + 0.0006 * along
    grey = (0.1 + (ground - 0.1) * ndtr(across / 1.3)).astype(np.float32)
    base = np.array([150.0, 130.0]) - 1.5 * up
    curve = SmoothCurve(np.stack([base, 110 * ahead]))
    t = np.linspace(-1, 1, 221)
    made, coarse = straighten(grey, curve, (-1, 1), (t[::-1], np.full(t.size, 1.5)), 1.0, margin=14)
    assert_allclose(coarse, 1.5)
    assert_allclose(made.normals, up + np.zeros((made.arc.size, 2)), atol=1e-12)
    assert_allclose(np.diff(made.arc), 1.0)
    assert made.arc[0] == 0
    assert made.arc.size in (220, 221)
    assert (made.offsets[0], made.offsets[-1]) == (1 - 14, 2 + 14)
    where = (made.points - [150, 130]) @ ahead
    assert_allclose(where, np.arange(made.arc.size) - 110, atol=1e-6)
    assert_allclose(made.bright, 0.8 + 0.0006 * np.clip(where, -85, 85), atol=0.012)
    assert_allclose(made.dark, 0.1, atol=0.002)
    middle = slice(40, 180)
    expected = ndtr((1.5 - made.offsets[:, None]) / 1.3)
    assert_allclose(made.cover[:, middle], expected + np.zeros(140), atol=0.02)
    assert_allclose(boundary(made, coarse, 0.0).edge[middle], 1.5, atol=0.04)


def test_the_strip_ends_where_the_curve_leaves_the_picture():
    grey = np.where(np.arange(200)[:, None] < 100, 0.8, 0.1) + np.zeros(150)
    curve = SmoothCurve(np.array([[75.0, 99.5], [120.0, 0.0]]))
    made, _ = straighten(
        grey.astype(np.float32), curve, (-1, 1), (np.array([-1.0, 1]), np.zeros(2)), 1.0, margin=12
    )
    assert made.points[0, 0] == pytest.approx(1, abs=1)
    assert made.points[-1, 0] == pytest.approx(148, abs=1)
    assert made.arc.size in (147, 148)
    part = made.cut(20, 50)
    assert_allclose(part.arc, np.arange(30))
    assert_allclose(part.points, made.points[20:50])
    assert_allclose(part.cover, made.cover[:, 20:50])
