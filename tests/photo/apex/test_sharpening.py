"""A camera's sharpening of the stored values: undone where the profile shows it."""

import numpy as np
import pytest

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.apex.sharpening import curve_of
from edgetest.photo.linear_light import linear_light
from edgetest.photo.render.apex_scene import render_apex


@pytest.mark.parametrize("amount", [1.0, 1.8])
def test_strong_sharpening_is_undone_and_said(amount):
    picture, _ = render_apex(
        width_um=24.0, blur_px=1.0, sharpen=amount, rng=np.random.default_rng(3)
    )
    result = measure_apex(linear_light(picture, "srgb"), 1.0)
    assert "sharpened" in [one.code for one in result.doubts]
    assert result.width_um.low < 24.0 < result.width_um.high
    assert result.width_um.mean == pytest.approx(24.0, abs=0.1)


@pytest.mark.parametrize("tone", ["srgb", "linear", "gamma 2.2", "own curve"])
def test_a_curve_and_its_inverse_return_the_light(tone):
    light = np.linspace(0.01, 0.99, 50)
    curve = curve_of(tone)
    assert curve.decode(curve.encode(light)) == pytest.approx(light, abs=1e-5)
