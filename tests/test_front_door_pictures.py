"""Pictures handed to the verbs: arrays of any kind, their tone and scale, and refusals."""

import numpy as np
import pytest

import edgetest as et


@pytest.fixture(scope="module")
def apex():
    from edgetest.photo.render.apex_scene import render_apex

    picture, _ = render_apex(width_um=12, um_per_px=0.5, rng=np.random.default_rng(3))
    return picture


@pytest.mark.parametrize("kind", ["uint8", "uint16", "float", "rgb"])
def test_a_picture_may_be_an_array(apex, kind):
    picture = {
        "uint8": apex,
        "uint16": apex.astype(np.uint16) * 257,
        "float": apex / 255,
        "rgb": np.repeat(apex[..., None], 3, axis=2),
    }[kind]
    found = et.measure(picture, 0.5, tone="srgb")
    assert found.width_um.low < 12 < found.width_um.high
    assert not {one.code for one in found.doubts} & {"tone_unknown"}


def test_an_array_needs_a_scale_and_an_unknown_tone_is_told(apex):
    with pytest.raises(et.UnusableInput, match="the scale is missing"):
        et.measure(apex)
    assert "tone_unknown" in {one.code for one in et.measure(apex, 0.5).doubts}


def test_a_photograph_that_cannot_be_measured_is_a_result_with_its_reason(tmp_path):
    import cv2

    path = tmp_path / "grey.png"
    cv2.imwrite(str(path), np.full((300, 300), 90, np.uint8))
    found = et.measure(path, 0.5)
    assert not found.measured
    assert [(one.gravity, one.where.file) for one in found.doubts] == [("decides", "grey.png")]
    table = et.measure(tmp_path, 0.5).to_frame()
    assert list(table.status) == ["refused"]


@pytest.mark.parametrize("given", ["0.4", (0.4, 0.4), -1, float("nan")])
def test_what_is_no_scale_is_said(apex, given):
    for verb in (et.measure, et.profile):
        with pytest.raises(
            et.UnusableInput, match=r"^um_per_px: .* is no scale; give µm per pixel"
        ):
            verb(apex, given)
