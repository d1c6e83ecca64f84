"""Focus stacks are fused, and measure as a sharp picture does; what does not belong is told."""

import cv2
import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.focus_stack import fuse_stack
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.camera import expose
from tests.benchmarks.pictures.framing import placing
from tests.photo.light import linear


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


def fused(pictures):
    names = [f"height {number}" for number, _ in enumerate(pictures)]
    return fuse_stack([linear(np.clip(picture, 0, 1)) for picture in pictures], names)


def leaning(light, **change):
    """Three photographs of an edge that leans through the focus, each sharp elsewhere."""
    blurs = [(0.8, 6.0), (4.0, 4.0), (6.0, 0.8)]
    return [shot(change.get(f"at_{n}", light), blur, n) for n, blur in enumerate(blurs)]


def laid_off(light, middle_off, zoom=1.0):
    """The scene as a camera that looks a little beside it sees it."""
    rows, cols = light.shape
    middle = ((cols - 1) / 2 + middle_off[1], (rows - 1) / 2 + middle_off[0])
    matrix = placing(middle, 0.0, zoom, light.shape)[:2]
    flags = cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    return np.maximum(
        cv2.warpAffine(light, matrix, (cols, rows), flags=flags, borderMode=cv2.BORDER_REFLECT), 0
    )


def test_stack_of_a_tilted_edge_measures_like_a_sharp_picture():
    light, truth = scene((400, 600), width_um=20.0)
    stack = leaning(light)
    found = fused(stack)
    assert found.doubts == ()
    np.testing.assert_allclose(found.matrices[:, :, 2], 0, atol=1.0)
    result = measure_apex(linear(found.picture), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.01)
    blurs = [measure_apex(linear(picture), 1.0).blur_px for picture in stack]
    assert result.blur_px < min(blurs)


def test_a_shift_between_heights_is_undone_below_a_pixel():
    light, truth = scene((400, 600), width_um=20.0)
    found = fused(leaning(light, at_0=laid_off(light, (-2.3, 3.6))))
    apart = found.matrices[0][:, 2] - found.matrices[2][:, 2]
    np.testing.assert_allclose(apart, [-2.3, 3.6], atol=0.4)
    result = measure_apex(linear(found.picture), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.01)


@pytest.mark.parametrize("which", [0, 1, pytest.param(2, marks=pytest.mark.slow)])
def test_a_photograph_of_another_edge_is_left_out_even_the_sharpest(which):
    light, truth = scene((400, 600), width_um=20.0)
    other, _ = scene((400, 600), seed=8, width_um=40.0)
    stack = leaning(light)
    stack.insert(which, shot(other, 0.7, 9))
    found = fused(stack)
    assert [(one.code, one.where.file) for one in found.doubts] == [
        ("frame_left_out", f"height {which}")
    ]
    result = measure_apex(linear(found.picture), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.01)


@pytest.mark.parametrize("which", [pytest.param(0, marks=pytest.mark.slow), 1, 2])
def test_one_zoomed_photograph_is_brought_to_the_others_and_told(which):
    light, truth = scene((400, 600), width_um=20.0)
    zoomed = laid_off(light, (0, 0), zoom=1.012)
    found = fused(leaning(light, **{f"at_{which}": zoomed}))
    assert [one.code for one in found.doubts] == ["frames_zoomed"]
    assert found.reference != which
    result = measure_apex(linear(found.picture), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.006)


def test_what_is_no_stack_is_refused():
    light, _ = scene((400, 600), width_um=20.0)
    other, _ = scene((400, 600), seed=8, width_um=40.0)
    with pytest.raises(UnusableInput, match="at least two"):
        fused([np.zeros((60, 60))])
    with pytest.raises(UnusableInput, match="different sizes"):
        fused([np.zeros((60, 60)), np.zeros((60, 61))])
    with pytest.raises(UnusableInput, match="48 x 48"):
        fused([np.zeros((30, 30))] * 2)
    for pair in ([shot(light, 1.0, 1), shot(other, 1.0, 2)], [np.full((60, 60), 0.5)] * 2):
        with pytest.raises(UnusableInput, match="no place in common"):
            fused(pair)
