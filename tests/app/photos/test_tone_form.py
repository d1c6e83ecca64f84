"""The tone curve of a set-up's camera is asked for where its scale stands."""

import shutil

import cv2
import numpy as np
import pytest

from edgetest.app.photos.tone_form import WAYS
from edgetest.photo.tone_steps import tone_of_steps
from edgetest.store.places import shipped
from edgetest.store.records import load_study
from edgetest.study.photos.tone_pictures import put_tone
from tests.app.test_navigation_pages import page


@pytest.fixture
def study(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    shutil.copytree(shipped("sample_runs") / "plough_disc_study", tmp_path / "plough_disc_study")
    return tmp_path / "plough_disc_study"


def tone_told():
    at = page("photographs", seconds=60)
    at.session_state["photographs.view"] = "Scale"
    at.run()
    assert not at.exception
    (label,) = [each.label for each in at.expander if each.label.startswith("Tone curve")]
    return label.rpartition(": ")[2]


def test_the_tone_of_a_set_up_is_told_where_its_scale_stands(study):
    put_tone(study, "", None)
    assert tone_told() == "not known"
    light = [0.9, 0.6, 0.4, 0.27, 0.18, 0.12, 0.08, 0.05]
    put_tone(study, "", tone_of_steps([each**0.5 for each in light], light).curve)
    assert tone_told() == "from grey steps"


LIGHT = 0.95 * 0.62 ** np.arange(12)
DENSITIES = ", ".join(f"{-np.log10(each / 0.95):.4f}" for each in LIGHT)


def camera(light):
    """An invented camera: light to the power of a half, 8 bits, some noise."""
    shown = np.sqrt(light) + np.random.default_rng(5).normal(0, 0.003, light.shape)
    return cv2.imencode(".png", np.rint(255 * shown.clip(0, 1)).astype(np.uint8))[1].tobytes()


def wedge():
    return "wedge.png", camera(np.tile(np.repeat(LIGHT, 40), (200, 1))), "image/png"


def sheets(count):
    return [
        (f"sheet{n:02d}.png", camera(np.full((80, 100), LIGHT[n])), "image/png")
        for n in range(count)
    ]


def given(files, text, way="density"):
    """The form with pictures brought and their steps typed."""
    at = page("photographs", seconds=60)
    at.session_state["photographs.view"] = "Scale"
    at.run()
    (form,) = [each for each in at.file_uploader if each.key.startswith("tone.")]
    if way != "density":
        ways = next(each for each in at.segmented_control if each.label.startswith("What is known"))
        ways.set_value(way).run()
    at.file_uploader(key=form.key).set_value(files)
    next(each for each in at.text_input if each.label == WAYS[way][0]).set_value(text).run()
    assert not at.exception
    return at


@pytest.mark.parametrize(
    ("files", "text", "way"),
    [
        ([wedge()], DENSITIES, "density"),
        (sheets(12), ", ".join(f"{each:.5f}" for each in LIGHT), "light"),
        (sheets(12), ", ".join(f"1/{1000 / each:.1f}" for each in LIGHT), "seconds"),
    ],
    ids=["a printed wedge", "sheets of known light", "shutter times"],
)
def test_a_curve_from_grey_steps_is_kept_only_by_the_button(study, files, text, way):
    put_tone(study, "", None)
    at = given(files, text, way)
    told = [each.value for each in at.success if each.value.startswith("tone curve from 12 steps")]
    assert len(told) == 1
    assert not isinstance(load_study(study).scale.tone, tuple)
    next(each for each in at.button if each.label.startswith("Use this curve")).click().run()
    assert not at.exception
    curve = load_study(study).scale.tone
    stored = np.linspace(0, 1, len(curve))
    seen = (stored > np.sqrt(LIGHT[-1])) & (stored < np.sqrt(LIGHT[0]))
    ratio = np.array(curve)[seen] / stored[seen] ** 2  # light is the square of what is stored
    assert np.ptp(ratio) < 0.04 * ratio.mean()
    assert (study / "photos" / files[0][0]).read_bytes() == files[0][1]
    assert tone_told() == "from grey steps"


@pytest.mark.parametrize(
    ("files", "text", "says"),
    [
        ([("words.png", b"words", "image/png")], DENSITIES, "not a picture"),
        ([wedge()], "0.05, x, 0.35", "x"),
        (sheets(3), DENSITIES, "3 pictures and 12 steps"),
        (sheets(1), DENSITIES, "Crop the picture to the row of patches"),
    ],
    ids=["no picture", "no number", "too few", "no patches"],
)
def test_what_gives_no_curve_is_told_and_leaves_the_study_as_it_was(study, files, text, says):
    put_tone(study, "", None)
    before = (study / "study.toml").read_bytes()
    at = given(files, text)
    assert says in " ".join(each.value for each in at.error)
    assert not [each for each in at.button if each.label.startswith("Use this curve")]
    assert (study / "study.toml").read_bytes() == before
    assert not (study / "photos" / "words.png").exists()
