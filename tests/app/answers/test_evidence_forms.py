"""Does the verdict's page tell a fault by its own labels?"""

from streamlit.testing.v1 import AppTest

from edgetest.app.answers.evidence_fields import TRIAL
from edgetest.store.records import load_study
from edgetest.study.steel.steel_rows import CouponTemper, CouponTrial
from edgetest.study.steel.told_at_entry import told_of_rows
from tests.study.steel.found_steel import PIECE, make_study


def heats(folder):
    """Page of a study's heats."""
    import streamlit as st

    from edgetest.app.answers.evidence_forms import rows_form
    from edgetest.study.sources import open_source

    rows_form(open_source(folder), "heats")
    st.caption("drawn")


def saved(tmp_path, form, save, **cells):
    """The page after its fields were filled, by their labels, and saved; its study; the fields."""
    folder = make_study(tmp_path / "s", evidence=PIECE)
    page = AppTest.from_function(form, args=(str(folder),), default_timeout=60).run()
    fields = {field.label: field for field in page.text_input}
    for label, text in cells.items():
        fields[label].set_value(text)
    next(each for each in page.button if each.label == save).click()
    page.run()
    return page, folder, fields


def test_a_fault_in_a_heat_is_told_by_the_label_of_its_field(tmp_path):
    cells = {"Heat of the steel, °C": "1500", "Cracked": "3"}
    page, _, by = saved(tmp_path, heats, "Save the heat", **cells)
    assert not page.exception
    told = " ".join(error.value for error in page.error)
    assert "**Heat of the steel, °C**" in told
    assert "°F" in told
    for key in ("heat_c", "study.toml", "evidence"):
        assert key not in told
    assert by["Heat of the steel, °C"].value == "1500"


def test_a_key_named_in_the_cure_is_told_by_its_label_too(tmp_path):
    page, *_ = saved(tmp_path, heats, "Save the heat", Cracked="3")
    told = " ".join(error.value for error in page.error)
    assert "“of so many quenched alike” = how many were quenched" in told


def pieces_told(folder):
    """Page of a study's pieces, a new one chosen, below what was told of the one saved last."""
    from edgetest.app.answers.evidence_forms import piece_form, show_told_at_entry
    from edgetest.study.sources import open_source

    show_told_at_entry()
    piece_form(open_source(folder))


def new_piece(tmp_path, name):
    """The page after another piece was saved beside leaf; its study."""
    folder = make_study(tmp_path / "s", evidence=PIECE)
    page = AppTest.from_function(pieces_told, args=(str(folder),), default_timeout=60).run()
    next(each for each in page.selectbox if each.label == "Piece").set_value("another piece")
    page.run()
    next(each for each in page.text_input if each.label == "Name of the piece").set_value(name)
    next(each for each in page.button if each.label == "Save the piece").click()
    page.run()
    assert not page.exception
    return page, load_study(folder)


def test_a_new_piece_beside_another_is_asked_about_as_the_command_asks(tmp_path):
    page, study = new_piece(tmp_path, "leaf 2")
    assert [piece["id"] for piece in study.evidence["pieces"]] == ["leaf", "leaf 2"]
    blades = [each for each in page.text_input if each.label == "Blades it would make"]
    assert all("hours of testing" in each.help for each in blades)
    assert blades
    (asked,) = (each.value for each in page.warning)
    assert "leaf 2 is a new piece beside leaf" in asked
    assert "take it back" in asked
    assert "edgetest undo" not in asked


def test_a_name_that_differs_in_capitals_alone_is_no_new_piece(tmp_path):
    page, study = new_piece(tmp_path, "Leaf")
    assert [piece["id"] for piece in study.evidence["pieces"]] == ["leaf"]
    told = " ".join(error.value for error in page.error)
    assert "**Name of the piece**" in told
    assert "is nearly the piece" in told


def heats_told(folder):
    """Page of a study's heats, below what was told of the one saved last."""
    from edgetest.app.answers.evidence_forms import rows_form, show_told_at_entry
    from edgetest.study.sources import open_source

    show_told_at_entry()
    rows_form(open_source(folder), "tempers")


def test_a_saved_temper_is_asked_about_as_the_command_asks(tmp_path):
    cells = {"Temper, °C": "400", "Minutes": "2"}
    page, folder, _ = saved(tmp_path, heats_told, "Save the temper", **cells)
    assert not page.exception
    told = told_of_rows(load_study(folder), {"tempers 1"})
    read, shown = ([each.value for each in kind] for kind in (page.info, page.warning))
    assert len(told) == 4  # no quench stands there either
    assert len(shown) == 3
    assert any("taken as of coupon 1, heat 1" in each for each in read)
    assert "400 °F is 204 °C" in shown[0]
    assert "if it was hours" in shown[1]


def test_a_trial_is_asked_for_all_that_a_trial_alone_says():
    own = set(CouponTrial.model_fields) - set(CouponTemper.model_fields)
    assert own - {field.key for field in TRIAL} == {"carburised"}  # known of the blade's own heat


def pieces(folder):
    """Page of a study's pieces."""
    from edgetest.app.answers.evidence_forms import piece_form
    from edgetest.study.sources import open_source

    piece_form(open_source(folder))


def test_what_is_known_of_a_piece_stands_in_a_line_with_its_units(tmp_path):
    words = PIECE + "thickness_mm = 8.0\n"
    folder = make_study(tmp_path / "s", evidence=words)
    page = AppTest.from_function(pieces, args=(str(folder),), default_timeout=60).run()
    assert "None" not in {each.help for each in page.text_input}
    (told,) = [each.label for each in page.expander]
    assert told == (
        "What leaf is: leaf spring; coating none; lead no; closed hollow no; loaded spring no; "
        "makes blades 12; thickness 8 mm"
    )
