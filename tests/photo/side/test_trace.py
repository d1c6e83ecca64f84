"""An outline followed below a pixel: drawn blades, their places, ends and damage."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtr

from edgetest.photo.side.trace import find_traces

ROWS, COLS = 260, 420
LEVELS = (0.1, 0.8)  # blade above, ground below


def drawn(row, *, blur=1.4, last=None, noise=0.004, turned=False):
    """A blade above a row given by column; it ends at a column where one is given."""
    y, x = np.mgrid[0:ROWS, 0:COLS].astype(float)
    cover = ndtr((row(x) - y) / blur)
    if last is not None:
        cover = cover * ndtr((last - x) / blur)
    grey = LEVELS[1] + (LEVELS[0] - LEVELS[1]) * cover
    grey = grey + noise * np.random.default_rng(1).standard_normal(grey.shape)
    return np.ascontiguousarray(grey.T if turned else grey).astype(np.float32)


def traced(grey):
    return find_traces(grey, (grey < 0.45).astype(np.uint8), 1)


def bent(x):
    return 130 + 0.05 * (x - 210) + 2e-4 * (x - 210) ** 2


def bowl(x, at, length, depth):
    return depth * np.clip(1 - (2 * (x - at) / length) ** 2, 0, None)


@pytest.mark.parametrize("turned", [False, True])
def test_a_sound_edge_is_followed_to_a_small_part_of_a_pixel(turned):
    (found,) = traced(drawn(bent, turned=turned))
    points = found.strip.points + found.places.edge[:, None] * found.strip.normals
    x, y = points.T[::-1] if turned else points.T
    off = y - bent(x)
    inner = slice(8, -8)
    assert_allclose(off[inner], 0, atol=0.12)
    line = found.strip.points + found.line[:, None] * found.strip.normals
    x, y = line.T[::-1] if turned else line.T
    assert_allclose((y - bent(x))[inner], 0, atol=0.08)
    assert found.blur == pytest.approx(np.hypot(1.4, 0.3), rel=0.1)
    assert found.noise == pytest.approx(0.004 / 0.7, rel=0.5)
    assert found.spread < 0.05
    arc = np.hypot(1, 0.05 + 4e-4 * (np.arange(COLS) - 210)).sum()
    assert found.length == pytest.approx(arc, abs=6)
    assert found.share > 0.98
    assert found.valid.all()
    assert found.damaged == 0
    assert found.sizes == []
    assert (found.at_border, found.at_tip) == (False, False)
    assert found.cut == (0.0, 0.0)
    assert np.all(found.place_u >= np.hypot(found.line_u, 0.05) - 1e-12)
    assert found.place_u.max() < 0.15


@pytest.mark.parametrize("sign", [-1, 1])
def test_damage_is_sized_where_it_was_drawn(sign):
    def struck(x):
        return bent(x) + sign * (bowl(x, 140, 40, 9) + bowl(x, 290, 24, 6))

    (found,) = traced(drawn(struck))
    assert [one.sign for one in found.stretches] == [sign, sign]
    centres = found.strip.points[[round(size["centre"]) for size in found.sizes], 0]
    assert_allclose(centres, [140, 290], atol=1.5)
    assert_allclose([size["depth"] for size in found.sizes], [9, 6], rtol=0.06)
    assert_allclose([size["length"] for size in found.sizes], np.sqrt(0.9) * np.array([40, 24]),
                    rtol=0.06)  # fmt: skip
    assert_allclose([size["area"] for size in found.sizes], [2 / 3 * 360, 2 / 3 * 144], rtol=0.09)
    assert found.damaged == 2
    for told, true in zip(found.sizes, (9, 6), strict=True):
        assert abs(told["depth"] - true) < 3 * told["depth_u"]


def test_damage_at_the_border_is_no_find_and_is_said():
    (found,) = traced(drawn(lambda x: bent(x) - bowl(x, 2, 40, 9)))
    assert found.sizes == []
    assert found.at_border
    assert not found.at_tip
    assert found.cut[0] > 5
    assert found.cut[1] == 0
    assert found.damaged == 1


def test_a_tip_in_the_picture_is_reached_and_its_loss_told():
    """A blade that slims to a tip at column 380: the edge is as long as it reaches."""

    def edge(x):
        return 200 - 0.1 * x

    def back(x):
        return edge(380.0) - 0.45 * (380 - x)

    y, x = np.mgrid[0:ROWS, 0:COLS].astype(float)
    cover = np.minimum(ndtr((edge(x) - y) / 1.2), ndtr((y - back(x)) / 1.2)) * (x < 380)
    grey = (0.8 - 0.7 * cover).astype(np.float32)
    found = max(traced(grey), key=lambda one: one.strip.points[:, 1].mean())
    assert found.length == pytest.approx(380 * np.hypot(1, 0.1), abs=8)
    assert found.before_px + found.after_px > 2
    assert found.share > 0.9


def test_no_blade_has_no_trace():
    grey = np.full((ROWS, COLS), 0.8, np.float32)
    assert find_traces(grey, None, 1) == []
    speck = np.zeros((ROWS, COLS), np.uint8)
    speck[100:108, 100:108] = 1
    assert find_traces(grey, speck, 1) == []
