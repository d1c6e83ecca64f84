"""One edge photographed twice."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.linear_light import srgb_decode
from edgetest.photo.render.side_scene import render_profile
from edgetest.photo.side.follow import follow
from edgetest.photo.side.side_view import measure_profile
from tests.photo.light import linear

BEFORE = (
    {"position": 0.2, "length_px": 40, "depth_px": 10, "shape": "notch"},
    {"position": 0.5, "length_px": 30, "depth_px": 6, "shape": "bowl"},
)
SHIFT = 0.07  # of the picture's width


def shot(seed, damage, **options):
    rng = np.random.default_rng(seed)
    picture, _ = render_profile(shape=(360, 800), damage=damage, rng=rng, noise=0.01, **options)
    return measure_profile(linear(srgb_decode(picture / np.float32(255))), 2.0)


def test_growth_is_followed_across_a_shift_and_a_tilt():
    after = (
        {"position": 0.2 + SHIFT, "length_px": 52, "depth_px": 14, "shape": "notch"},
        {"position": 0.5 + SHIFT, "length_px": 30, "depth_px": 6, "shape": "bowl"},
        {"position": 0.85, "length_px": 30, "depth_px": 8, "shape": "round"},
    )
    found = follow(shot(1, BEFORE), shot(2, after, tilt_deg=3))
    assert found.shift_um == pytest.approx(SHIFT * 1600, abs=8)
    assert [chip.word for chip in found.chips] == ["grown", "same", "new"]
    grown, same, new = found.chips
    assert grown.growth_um == pytest.approx(8, abs=1.5)
    assert same.low_um < 0 < same.high_um
    assert new.growth_um == pytest.approx(16, abs=1.5)
    assert found.summary().endswith("1 new, 1 grown, 1 same")


def test_outlines_without_anything_in_common_are_refused():
    with pytest.raises(UnusableInput, match="no damage in common"):
        follow(shot(1, ()), shot(2, BEFORE))
    refused = measure_profile(linear(np.zeros((100, 100))), 1.0)
    with pytest.raises(UnusableInput, match="before: this photograph was not measured"):
        follow(refused, shot(1, ()))
