"""Focus stacks are fused, and measure as a sharp picture does."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.focus_stack import fuse_stack, moved, shift_between
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.camera import expose
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
    result = measure_apex(linear(fused), 1.0)
    assert result.width_um.mean == pytest.approx(truth["width_um"], rel=0.01)
    blurs = [measure_apex(linear(picture), 1.0).blur_px for picture in stack]
    assert result.blur_px < min(blurs)


def test_stack_refuses_one_picture_and_unequal_sizes():
    with pytest.raises(UnusableInput, match="at least two"):
        fuse_stack([np.zeros((30, 30))])
    with pytest.raises(UnusableInput, match="different sizes"):
        fuse_stack([np.zeros((30, 30)), np.zeros((30, 31))])
