"""Focus stacks are fused, overlapping frames joined, and both measure as a sharp picture does."""

import itertools

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.camera import expose, srgb_decode
from edgetest.photo.focus_stack import fuse_stack, moved, shift_between
from edgetest.photo.frame_joining import frame_offset, join_widths
from edgetest.photo.render.apex_scene import render_apex


def scene(shape, seed=4, **settings):
    """Unblurred scene in linear light, 16 bits, and its truth."""
    picture, truth = render_apex(
        shape=shape, blur_px=0.6, noise=0.0, tone="linear", bits=16, supersample=1,
        rng=np.random.default_rng(seed), bevel_grain=0.3, land_grain=0.05, **settings,
    )  # fmt: skip
    return (picture / 65535).astype(np.float32), truth


def shot(light, blur_px, seed):
    stored = expose(light, blur_px=blur_px, noise=0.006, rng=np.random.default_rng(seed))
    return np.asarray(srgb_decode(stored / 255.0), dtype=np.float32)


def test_shift_is_found_below_a_pixel():
    light, _ = scene((300, 400), width_um=14.0)
    row, col = shift_between(light, moved(light, (-2.3, 3.6)))
    assert row == pytest.approx(2.3, abs=0.15)
    assert col == pytest.approx(-3.6, abs=0.15)


def test_stack_of_a_tilted_edge_measures_like_a_sharp_picture():
    light, truth = scene((400, 600), width_um=20.0)
    stack = [
        shot(light, blur, seed) for seed, blur in enumerate([(0.8, 6.0), (4.0, 4.0), (6.0, 0.8)])
    ]
    fused, shifts = fuse_stack(stack)
    assert np.abs(shifts).max() < 1.0
    result = measure_apex(fused, 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.01)
    blurs = [measure_apex(picture, 1.0).blur_px for picture in stack]
    assert result.blur_px < min(blurs)


def test_stack_refuses_one_picture_and_unequal_sizes():
    with pytest.raises(UnusableInput, match="at least two"):
        fuse_stack([np.zeros((30, 30))])
    with pytest.raises(UnusableInput, match="different sizes"):
        fuse_stack([np.zeros((30, 30)), np.zeros((30, 31))])


def test_frames_along_an_edge_join_to_one_strip():
    light, truth = scene((300, 1400), width_um=18.0, width_sd=0.05, width_grain_um=80.0)
    corners = [(0, 0), (4, 390), (1, 800)]
    frames = [shot(light[r : r + 290, c : c + 600], 1.2, 9 + c) for r, c in corners]
    offsets = [np.zeros(2)]
    for first, second in itertools.pairwise(frames):
        offsets.append(offsets[-1] + frame_offset(first, second))
    np.testing.assert_allclose(offsets, corners, atol=0.5)
    strip = join_widths([measure_apex(frame, 1.0) for frame in frames], offsets, 1.0)
    assert np.all(np.diff(strip.position_um) >= 0)
    assert set(strip.frame) == {0, 1, 2}
    assert strip.position_um[-1] == pytest.approx(1400, abs=15)
    along = truth["along"]
    expected = np.interp(strip.position_um, along["position_um"], along["width_um"])
    assert np.corrcoef(strip.width_um, expected)[0, 1] > 0.9
    assert strip.width_um.mean() == pytest.approx(truth["width_um"], rel=0.005)


def test_frames_without_a_common_part_are_refused():
    light, _ = scene((300, 1400), width_um=18.0)
    with pytest.raises(UnusableInput, match="no common part"):
        frame_offset(light[:, :500], light[:, 800:1300])
