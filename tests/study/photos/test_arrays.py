"""Grey values as any picture reader returns them give the width that was rendered."""

import numpy as np
import pytest
from scipy.special import erf

from edgetest.photo.apex.apex_light import Lighting, in_light
from edgetest.photo.apex.edge_width import measure_apex
from edgetest.photo.linear_light import linear_light, srgb_encode
from edgetest.photo.render.apex_scene import render_apex
from edgetest.study.photos.arrays import measure_array

ON_AXIS = Lighting("on-axis", 0.1)


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
    assert "tone_unknown" in [one.code for one in found.doubts]


def band_in_linear_light(width_px, *, blur_px=1.6, seed=5):
    """A blurred bright band drawn without the program's renderer, and its mean width."""
    rng = np.random.default_rng(seed)
    rows, columns = np.mgrid[:300, :400].astype(float)
    tilt = np.radians(1.2)
    across = (rows - 150 - np.tan(tilt) * (columns - 200)) * np.cos(tilt)
    width = width_px * (1 + 0.03 * np.sin(columns / 37))
    feet = [erf((across + side * width / 2) / (np.sqrt(2) * blur_px)) for side in (1, -1)]
    light = 0.06 + 0.03 * (across > 0) + 0.55 * (feet[0] - feet[1]) / 2
    light += rng.normal(0, 0.01, light.shape) * np.sqrt(0.2 + light)
    return np.clip(light, 0, 1), width[0].mean()


def added_contrast(stored):
    """An S-shaped curve on stored values, a third of the way to the full one."""
    return stored + 0.35 * (stored**2 * (3 - 2 * stored) - stored)


TONE_OF_CAMERA = {
    "sRGB": srgb_encode,
    "gamma 1.8": lambda light: light ** (1 / 1.8),
    "gamma 2.4": lambda light: light ** (1 / 2.4),
    "contrast added to sRGB": lambda light: added_contrast(srgb_encode(light)),
    "linear": lambda light: light,
}


@pytest.mark.parametrize("width_px", [9.0, 18.0, 22.0, 50.0])
@pytest.mark.parametrize("camera", TONE_OF_CAMERA.values(), ids=TONE_OF_CAMERA)
def test_whatever_curve_an_array_is_stored_on_its_interval_holds_the_width(width_px, camera):
    light, truth = band_in_linear_light(width_px)
    found = measure_array(np.rint(255 * camera(light)).astype(np.uint8), 1.0)
    if found.width_um is None:  # 9 px of light itself, read as sRGB: hardly wider than its blur
        assert truth < found.below_um < 1.3 * truth
    else:
        assert found.width_um.low < truth < found.width_um.high
        # Where the wrong curve makes a dome of nine pixels of land, a dome is not ruled out.
        assert found.width_um.high < (1.8 if width_px < 10 else 1.3) * truth


def test_a_told_tone_narrows_the_interval_and_takes_the_doubt_away():
    picture, truth = render_apex(width_um=14.0, rng=np.random.default_rng(5))
    assumed, told = (
        measure_array(picture, 1.0, tone=tone, lighting=ON_AXIS) for tone in ("unknown", "srgb")
    )
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
    found = measure_array(
        picture, 1.0, tone="srgb", relative_u=0.01, struck_out=[(0.0, 300.0)], lighting=ON_AXIS,
        **options,
    )  # fmt: skip
    light, struck = linear_light(picture, "srgb"), [(0.0, 300.0)]
    same = measure_apex(light, 1.0, scale_relative_u=0.01, excluded=struck, **options)
    assert found.to_dict() == in_light(same, ON_AXIS).to_dict()
