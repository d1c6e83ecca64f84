"""Grey values as any picture reader returns them give the width that was rendered."""

import numpy as np
import pytest

from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import linear_light
from edgetest.photo.render.apex_scene import render_apex
from edgetest.study.photos.arrays import measure_array


def rgb(grey):
    return np.repeat(grey[..., None], 3, axis=2)


STORED = {
    "uint8": lambda grey: np.rint(grey / 257).astype(np.uint8),
    "uint16": lambda grey: grey,
    "float32": lambda grey: (grey / 65535).astype(np.float32),
    "float64": lambda grey: grey / 65535,
    "rgb uint8": lambda grey: rgb(np.rint(grey / 257).astype(np.uint8)),
    "rgba uint16": lambda grey: np.dstack([rgb(grey), np.full_like(grey, 65535)]),
    "rgb float": lambda grey: rgb(grey / 65535),
}


@pytest.mark.parametrize("width_um", [8.0, 14.0, 37.0])
@pytest.mark.parametrize("stored", STORED.values(), ids=STORED)
def test_stored_grey_values_bracket_the_true_width(width_um, stored):
    picture, truth = render_apex(
        width_um=width_um, tilt_deg=7.0, bits=16, rng=np.random.default_rng(5)
    )
    found = measure_array(stored(picture), 0.8)
    assert found.width_um.low < 0.8 * truth["width_um"] < found.width_um.high
    # The tone was assumed: a tenth of a pixel to either side, and said.
    half = (found.width_um.high - found.width_um.low) / 2
    assert 0.07 < half < 0.15
    assert "tone_unknown" in [reason.code for reason in found.doubts]


def test_a_told_tone_narrows_the_interval_and_takes_the_doubt_away():
    picture, truth = render_apex(width_um=14.0, rng=np.random.default_rng(5))
    assumed, told = (measure_array(picture, 1.0, tone=tone) for tone in ("unknown", "srgb"))
    assert told.width_um.mean == assumed.width_um.mean
    assert told.width_um.high - told.width_um.low < 0.5 * (
        assumed.width_um.high - assumed.width_um.low
    )
    assert told.doubts == ()
    assert told.width_um.low < truth["width_um"] < told.width_um.high


def test_options_reach_the_measurement():
    picture, _ = render_apex(
        width_um=14.0, second_band=(60.0, 10.0, 0.5), rng=np.random.default_rng(1)
    )
    options = {"region": (200, 0, 270, 640), "blur_px": 1.4}
    found = measure_array(picture, 1.0, relative_u=0.01, struck_out=[(0.0, 300.0)], **options)
    same = measure_apex(
        linear_light(picture, "unknown"),
        1.0,
        scale_relative_u=0.01,
        excluded=[(0.0, 300.0)],
        **options,
    )
    assert found.to_dict() == same.to_dict()
