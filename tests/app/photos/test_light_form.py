"""The light of a set-up is asked for beside its scale, kept in study.toml, and told with it."""

import shutil

import pytest

from edgetest.app.photos.light_form import WORDS
from edgetest.photo.apex.apex_light import DIRECTIONS
from edgetest.store.places import shipped
from edgetest.store.records import load_study
from tests.app.shown_rows import labelled
from tests.app.test_navigation_pages import page, words

RUN = "plough_disc_study"  # its scale is a number


@pytest.fixture
def study(tmp_path, monkeypatch):
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    shutil.copytree(shipped("sample_runs") / RUN, tmp_path / RUN)
    toml = tmp_path / RUN / "study.toml"
    told = ("light =", "lens_na =", "lamp_na =")
    kept = [line for line in toml.read_text("utf-8").splitlines() if not line.startswith(told)]
    toml.write_text("\n".join(kept) + "\n", "utf-8")
    return tmp_path / RUN


def scale_page():
    at = page("photographs", seconds=60)
    at.session_state["photographs.view"] = "Scale"
    return at.run()


def choose(at, direction):
    (light,) = [box for box in at.selectbox if box.label == "Where the light comes from"]
    return light.set_value(direction).run()


def test_every_light_is_offered_and_none_is_the_first():
    assert list(WORDS) == ["", *DIRECTIONS]


def test_the_light_is_declared_beside_a_scale_that_stands(study):
    at = scale_page()
    assert not at.exception
    assert "light not noted" in words(at)
    choose(at, "on-axis")
    lens, lamp = (box for box in at.number_input if box.label.startswith("Aperture"))
    assert (lens.value, lamp.value) == (None, None)
    assert "behind the magnification" in lens.help
    lens.set_value(0.25).run()
    at.button(key="scales.use_light").click().run()
    assert not at.exception
    rule = load_study(study).scale
    assert (rule.um_per_px, rule.light, rule.lens_na, rule.lamp_na) == (0.4, "on-axis", 0.25, None)
    assert "on-axis light, lens aperture 0.25" in words(at)


def test_a_light_can_be_taken_back(study):
    at = choose(scale_page(), "ring")
    at.button(key="scales.use_light").click().run()
    assert load_study(study).scale.light == "ring"
    choose(at, "")
    at.button(key="scales.use_light").click().run()
    assert load_study(study).scale.light is None


def test_a_new_scale_is_kept_with_the_light(study):
    at = choose(scale_page(), "dome")
    labelled(at.segmented_control, "Take it from").set_value("Number").run()
    labelled(at.number_input, "µm per pixel").set_value(0.5).run()
    at.button(key="scales.use").click().run()
    assert not at.exception
    rule = load_study(study).scale
    assert (rule.um_per_px, rule.light) == (0.5, "dome")


def test_pictures_outside_a_log_are_asked_for_their_light(study):
    at = page("pictures", seconds=60).run()
    assert not at.exception
    assert [box.label for box in at.selectbox].count("Where the light comes from") == 1
