"""The pack of a study by its form: charcoal, skin and temper reach study.toml and the case."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.store.records import load_study
from edgetest.study.steel.case_plan import cases_of_study
from tests.study.steel.found_steel import make_study

PACK = """
[evidence.pack]
core_pct = 0.2
heats = [{ temperature_c = 900, hours = 8.0, surface = "carburising" }]
sections = [{ thickness_mm = 6.0 }]
"""


def form(folder):
    import streamlit as st

    from edgetest.app.answers.pack_form import pack_form
    from edgetest.study.sources import open_source

    pack_form(open_source(folder))
    st.caption("drawn")


@pytest.fixture
def folder(tmp_path):
    return make_study(tmp_path / "s", evidence=PACK)


def by_label(elements, label):
    return next(each for each in elements if each.label == label)


def save(page):
    by_label(page.button, "Save the pack").click()
    page.run()
    assert not page.exception
    assert not page.error


def test_charcoal_skin_and_temper_are_written_and_worked_with(folder):
    page = AppTest.from_function(form, args=(str(folder),), default_timeout=60).run()
    by_label(page.selectbox, "Charcoal in the pack").set_value("with a carbonate")
    by_label(page.text_input, "Decarburised skin before, mm").set_value("0.2")
    by_label(page.text_input, "Temper, °C").set_value("400 °F")
    by_label(page.text_input, "Temper, minutes").set_value("1 h")
    by_label(page.number_input, "Temper, times").set_value(2)
    save(page)
    kept = load_study(folder).evidence["pack"]
    assert kept["energised"] is True
    assert kept["skin_mm"] == 0.2
    assert kept["temper"] == {"temperature_c": "400 °F", "time_min": "1 h", "repeats": 2}
    (found,) = cases_of_study(folder)
    assert "after 2 times 1 h at 400 °F" in found.words()
    assert "charcoal with an energiser" in found.words()
    assert found.case.plate.skin_mm == 0.2


def test_what_is_left_blank_is_not_written(folder):
    page = AppTest.from_function(form, args=(str(folder),), default_timeout=60).run()
    save(page)
    kept = load_study(folder).evidence["pack"]
    assert not {"energised", "skin_mm", "temper"} & set(kept)


def test_the_piece_that_was_packed_is_asked_where_there_are_several(folder):
    page = AppTest.from_function(form, args=(str(folder),), default_timeout=60).run()
    assert "Piece that was packed" not in [one.label for one in page.selectbox]
    pieces = "".join(f'[[evidence.pieces]]\nid = "{name}"\n' for name in ("A", "B"))
    folder = make_study(folder.parent / "two", evidence=pieces + PACK)
    page = AppTest.from_function(form, args=(str(folder),), default_timeout=60).run()
    by_label(page.selectbox, "Piece that was packed").set_value("B")
    save(page)
    assert load_study(folder).evidence["pack"]["piece"] == "B"
