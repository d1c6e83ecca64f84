"""A needle is named in the app, and a study between two lamps is shown there."""

import shutil

import pytest

from edgetest.store.records import load_study
from tests.app.photos.test_light_form import choose, scale_page
from tests.app.shown_rows import labelled, tables
from tests.app.test_navigation_pages import page, words

NEEDLE = 'needle = "photos/needle.png"\nneedle_diameter_mm = 0.3\n'


@pytest.fixture
def study(lamp_series, tmp_path, monkeypatch):
    """The series between two lamps in a workspace, measured."""
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    return shutil.copytree(lamp_series[0], tmp_path / "series")


@pytest.fixture
def bare(study):
    """The same study before its needle is named."""
    toml = study / "study.toml"
    text = toml.read_text(encoding="utf-8")
    assert NEEDLE in text
    toml.write_text(text.replace(NEEDLE, ""), encoding="utf-8")
    return study


def seen(view, **state):
    at = page("photographs", seconds=90)
    at.session_state["photographs.view"] = view
    for key, value in state.items():
        at.session_state[key] = value
    at = at.run()
    assert not at.exception
    return at


def test_a_needle_is_named_beside_the_scale(bare):
    at = scale_page()
    assert not at.exception
    assert any("none yet" in one.label for one in at.expander)
    (diameter,) = [one for one in at.number_input if one.label.startswith("Diameter")]
    at = diameter.set_value(0.3).run()
    at.button(key="needle.all photographs.use").click().run()
    rule = load_study(bare).scale
    assert (rule.needle, rule.needle_diameter_mm) == ("photos/needle.png", 0.3)
    assert rule.lens_distance_mm == 9000
    assert (rule.needle_tolerance_um, rule.lamps_turned_deg) == (None, None)


def test_another_light_lets_the_needle_go(study):
    at = choose(scale_page(), "on-axis")
    at.button(key="scales.use_light").click().run()
    rule = load_study(study).scale
    assert (rule.light, rule.needle, rule.lens_distance_mm) == ("on-axis", None, None)


def test_a_scale_taken_anew_keeps_the_needle(study):
    at = scale_page()
    labelled(at.segmented_control, "Take it from").set_value("Number").run()
    labelled(at.number_input, "µm per pixel").set_value(0.9).run()
    at.button(key="scales.use").click().run()
    rule = load_study(study).scale
    assert (rule.um_per_px, rule.needle) == (0.9, "photos/needle.png")


def test_every_view_of_the_page_tells_w30(study):
    assert "W30 **" in words(seen("All"))
    table = tables(seen("Table"))[0]
    assert all(table["W30 µm"])
    assert "bright line µm" not in table
    one = words(seen("One", **{"photographs.picked": "S1_100.png"}))
    assert "Round crest of radius" in one
    assert "lamps 60° from the axis" in one


def test_curves_and_comparison_of_w30_are_shown(study):
    for name in ("wear_curves", "comparison"):
        at = page(name, seconds=90).run()
        assert not at.exception
        assert "W30" in words(at)
