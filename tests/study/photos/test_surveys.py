"""Focus stacks and strips of frames through files, against the scene they were cut from."""

import json

import cv2
import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.photo.apex.apex_light import Lighting
from edgetest.photo.render.apex_scene import render_apex
from edgetest.photo.render.camera import expose
from edgetest.report.figures.overlay_files import write_grey
from edgetest.store.images import read_picture
from edgetest.study.photos.measure_photos import Task, measure_photo
from edgetest.study.photos.surveys import measure_stack, survey


@pytest.fixture(scope="module")
def edge():
    picture, truth = render_apex(
        shape=(300, 1400), width_um=18.0, um_per_px=1.0, width_sd=0.05, width_grain_um=80.0,
        blur_px=0.6, noise=0.0, tone="linear", bits=16, supersample=1, bevel_grain=0.3,
        rng=np.random.default_rng(4),
    )  # fmt: skip
    return (picture / 65535).astype(np.float32), truth


def shot(light, blur_px, seed, path):
    cv2.imwrite(
        str(path), expose(light, blur_px=blur_px, noise=0.006, rng=np.random.default_rng(seed))
    )
    return path


def test_frames_join_to_the_width_along_the_whole_edge(edge, tmp_path):
    light, truth = edge
    paths = [
        shot(light[r : r + 290, c : c + 600], 1.2, c, tmp_path / f"{c}.png")
        for r, c in ((0, 0), (4, 390), (1, 800))
    ]
    found = survey(paths, 1.0, lighting=Lighting("on-axis", 0.2))
    assert found.length_um == pytest.approx(1400, rel=0.03)
    assert found.w30_um.low == found.low_um
    assert found.w30_um.high > found.high_um * 4
    assert found.apex.round_up_to_radius_um == found.to_dict()["w30_um"]["high"]
    assert "bright line 18" in found.summary()
    assert "or round up to radius" in found.summary()
    assert found.mean_um == pytest.approx(truth["width_um"], rel=0.005)
    assert found.low_um < truth["width_um"] < found.high_um
    assert found.strip.offsets_rc[2] == pytest.approx([1, 800], abs=0.5)
    json.dumps(found.to_dict(), allow_nan=False)


def test_frames_that_do_not_overlap_are_told(edge, tmp_path):
    light, _ = edge
    paths = [shot(light[:, c : c + 400], 1.2, c, tmp_path / f"{c}.png") for c in (0, 900)]
    with pytest.raises(UnusableInput, match="do not overlap"):
        survey(paths, 1.0)


def test_a_stack_measures_what_none_of_its_photographs_shows_sharp(edge, tmp_path):
    light, truth = edge
    light = light[:, :600]
    paths = [
        shot(light, blur, seed, tmp_path / f"{seed}.png")
        for seed, blur in enumerate([(0.8, 6.0), (4.0, 4.0), (6.0, 0.8)])
    ]
    result, fused = measure_stack(paths, 1.0)
    width = result.numbers["width_um"]
    # The frame shows a part of the scene, whose width varies by 5 % over grains of 80 µm.
    assert width["mean"] == pytest.approx(truth["width_um"], rel=0.04)
    assert all(result.numbers["blur_px"] < measure_photo(Task(p, 1.0)).numbers["blur_px"]
               for p in paths)  # fmt: skip
    write_grey(fused, tmp_path / "sharp.png")
    assert np.abs(read_picture(tmp_path / "sharp.png").grey - np.clip(fused, 0, 1)).max() < 1e-4
    with pytest.raises(UnusableInput, match="16 bits"):
        write_grey(fused, tmp_path / "sharp.jpg")
