"""What a person is told of a shot before it is kept: each fault in its own words."""

import json

import numpy as np
import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.photo.apex.shot_check import check_shot
from edgetest.photo.linear_light import linear_light
from edgetest.photo.render.apex_scene import render_apex


def shot(**settings):
    rng = np.random.default_rng(5)
    made = {"width_um": 20.0, "bevel_grain": 0.1, "land_grain": 0.05} | settings
    picture, _ = render_apex(shape=(480, 640), rng=rng, **made)
    return linear_light(picture, "srgb")


def told(**settings):
    return codes(check_shot(shot(**settings)).doubts)


@pytest.mark.parametrize("tilt", [0, -6, 84, 90])
@pytest.mark.parametrize("width", [9, 20, 60, 150])
def test_a_good_shot_is_good_whichever_way_it_runs(width, tilt):
    check = check_shot(shot(width_um=width, tilt_deg=tilt))
    assert check.doubts == ()
    assert check.good
    assert check.width_px == pytest.approx(width, rel=0.1)
    assert check.blur_px == pytest.approx(1.3, abs=0.5)
    assert check.angle_deg == pytest.approx((tilt + 45) % 90 - 45, abs=0.5)
    assert (check.light, check.clipped, check.off) == ("both dark", 0, 0)
    assert check.summary().startswith("Good: the land is")


@pytest.mark.parametrize(
    ("code", "settings"),
    [
        ("shot_no_edge", {"land": 0.06}),
        ("shot_dark", {"land": 0.01, "bevels": (0.001, 0.001)}),
        ("shot_inverted", {"land": 0.03, "bevels": (0.6, 0.6)}),
        ("shot_one_side", {"bevels": (0.06, 0.5)}),
        ("shot_flat", {"bevels": (0.45, 0.45), "bevel_grain": 0.02}),
        ("shot_runs_off", {"offset_px": 238}),
        ("shot_part", {"span": (0.0, 0.4)}),
        ("shot_several", {"second_band": (100.0, 20.0, 0.6)}),
        ("shot_bright", {"land": 1.5}),
        ("shot_soft", {"blur_px": 6.0}),
    ],
)
def test_what_would_spoil_a_picture_is_told_in_its_own_words(code, settings):
    check = check_shot(shot(**settings))
    assert codes(check.doubts)[0] == code
    assert not check.good


def test_what_only_makes_a_picture_less_sure_does_not_spoil_it():
    narrow, turned = check_shot(shot(width_um=5)), check_shot(shot(tilt_deg=25))
    assert codes(narrow.doubts) == ("shot_narrow",)
    assert codes(turned.doubts) == ("shot_turned",)
    assert "stands 25° off" in turned.summary()
    assert narrow.good
    assert turned.good


def test_grain_asks_for_more_light():
    light = shot()
    noise = np.random.default_rng(2).normal(0, 0.12, light.grey.shape)
    stored = np.clip(light.grey + noise, 0, 1).astype(np.float32)
    assert codes(check_shot(linear_light(stored, "linear")).doubts) == ("shot_noisy",)


def test_a_softer_picture_than_the_one_before_is_told():
    light = shot(blur_px=2.0)
    blur = check_shot(light).blur_px
    assert check_shot(light, blur_before_px=blur / 1.2).doubts == ()
    (softer,) = check_shot(light, blur_before_px=blur / 1.6).doubts
    assert softer.code == "shot_softer"
    assert softer.where.value == blur
    assert softer.where.expected == blur / 1.6


def test_the_gravest_comes_first_and_all_of_it_goes_into_json():
    check = check_shot(shot(land=1.5, tilt_deg=25))
    assert codes(check.doubts) == ("shot_bright", "shot_turned")
    found = json.loads(json.dumps(check.to_dict()))
    assert found["good"] is False
    assert found["clipped"] > 0.9
    assert [each["code"] for each in found["doubts"]] == list(codes(check.doubts))


@pytest.mark.parametrize("size", [(1, 1), (20, 400), (48, 48), (49, 300), (300, 60), (200, 200)])
def test_no_picture_raises(size):
    rng = np.random.default_rng(3)
    for stored in (
        np.zeros(size, np.uint8),
        np.full(size, 255, np.uint8),
        rng.integers(0, 256, size, dtype=np.uint8),
        np.tile(np.arange(size[1]) % 256, (size[0], 1)).astype(np.uint8),
    ):
        assert not check_shot(linear_light(stored, "srgb")).good


def test_crops_of_an_edge_never_raise():
    light = shot(width_um=30, tilt_deg=35, span=(0.2, 0.7))
    rng = np.random.default_rng(4)
    for _ in range(60):
        row, col = rng.integers(0, 400), rng.integers(0, 560)
        high, wide = rng.integers(1, 480), rng.integers(1, 640)
        crop = light.grey[row : row + high, col : col + wide]
        assert check_shot(linear_light(crop, "linear")).summary()


def test_an_array_is_refused_for_it_does_not_say_its_tone():
    with pytest.raises(UnusableInput, match="tone curve"):
        check_shot(np.zeros((100, 100), np.float32))
