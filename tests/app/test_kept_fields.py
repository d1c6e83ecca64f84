"""A page's fields show what stands on disk: what is typed, until it is saved or forgotten."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.store.typed_drafts import TYPED_FOLDER, keep_typed, typed_by

WINDOW = "0000000a"


def page(folder):
    from pathlib import Path

    import streamlit as st

    from edgetest.app.kept_fields import kept_choice, kept_form

    file = Path(folder) / "saved.txt"
    saved = file.read_text() if file.exists() else ""
    shown = kept_choice(Path(folder), st.toggle, "Show all", False, "show all")
    form = kept_form(Path(folder), "form")
    text = form.field(st.text_input, "Note", saved, "note")
    form.field(st.number_input, "Times", 2, "times", min_value=1, max_value=6)
    form.field(st.number_input, "Carbon", None, "carbon", min_value=0.0)
    form.field(st.selectbox, "Kind", None, "kind", options=["a", "b"], index=None)
    form.field(st.multiselect, "Some", [], "some", options=["x", "y"])
    form.field(st.segmented_control, "Paper", "A4", "paper", options=["A4", "Letter"])
    form.field(st.text_area, "Care", "", "care")
    if form.save("Save"):
        file.write_text(text)
        form.forget()
        st.rerun()
    st.caption(f"shown {shown}")


def opened(folder, window=WINDOW):
    """The page in a window that nobody has looked at before, as after a killed server."""
    test = AppTest.from_function(page, args=(str(folder),), default_timeout=30)
    if window:
        test.query_params["window"] = window
    return test.run()


def fill(test):
    test.text_input[0].set_value("Boil the rope")
    test.number_input[0].set_value(4)
    test.number_input[1].set_value(0.6)
    test.selectbox[0].set_value("b")
    test.multiselect[0].set_value(["y"])
    test.button_group[0].set_value("Letter")
    test.text_area[0].set_value("Oil it")
    return test.run()


def held(test):
    assert not test.exception
    fields = (*test.text_input, *test.number_input, *test.selectbox, *test.multiselect,
              *test.button_group, *test.text_area)  # fmt: skip
    return [each.value for each in fields]


FILLED = ["Boil the rope", 4, 0.6, "b", ["y"], "Letter", "Oil it"]
BLANK = ["", 2, None, None, [], "A4", ""]


def press(test, label):
    next(each for each in test.button if each.label == label).click()
    return test.run()


def buttons(test):
    return {each.label for each in test.button}


def test_every_kind_of_field_comes_back_in_the_window_of_its_name(tmp_path):
    assert held(opened(tmp_path)) == BLANK
    test = fill(opened(tmp_path))
    assert held(test) == FILLED
    assert test.query_params["window"] in (WINDOW, [WINDOW])
    assert held(opened(tmp_path)) == FILLED


def test_the_only_draft_is_found_by_a_window_without_a_name_and_stays_its_owners(tmp_path):
    fill(opened(tmp_path))
    other = opened(tmp_path, window="")
    assert held(other) == FILLED
    other.text_input[0].set_value("Burn the rope")
    other.run()
    assert typed_by(tmp_path, WINDOW, "form").now["note"] == "Boil the rope"
    assert held(opened(tmp_path))[0] == "Boil the rope"


def test_of_two_drafts_none_is_taken_unasked(tmp_path):
    keep_typed(tmp_path, "0000000b", "form", "note", "", "one")
    keep_typed(tmp_path, "0000000c", "form", "note", "", "two")
    test = opened(tmp_path, window="")
    assert held(test) == BLANK
    take = [each for each in test.button if each.label.startswith("Take over")]
    assert len(take) == 2
    take[0].click()
    assert held(test.run())[0] == "two"  # the latest stands first


def test_saved_it_is_kept_no_longer(tmp_path):
    test = fill(opened(tmp_path))
    press(test, "Save")
    assert (tmp_path / "saved.txt").read_text() == "Boil the rope"
    assert not (tmp_path / TYPED_FOLDER).exists()
    assert held(test) == ["Boil the rope", *BLANK[1:]]
    assert held(opened(tmp_path)) == ["Boil the rope", *BLANK[1:]]


def test_what_is_forgotten_can_be_brought_back(tmp_path):
    assert "Forget what I typed" not in buttons(opened(tmp_path))
    test = press(fill(opened(tmp_path)), "Forget what I typed")
    assert held(test) == BLANK
    assert not (tmp_path / TYPED_FOLDER).exists()
    assert held(press(test, "Bring back what I typed")) == FILLED


def test_what_was_saved_elsewhere_meanwhile_is_told_before_it_is_written_over(tmp_path):
    test = opened(tmp_path)
    test.text_input[0].set_value("mine")
    test.run()
    (tmp_path / "saved.txt").write_text("theirs")
    press(test, "Save")
    assert "“theirs”, not “mine”" in test.error[0].value
    assert (tmp_path / "saved.txt").read_text() == "theirs"
    assert held(test)[0] == "mine"
    press(test, "Save")
    assert (tmp_path / "saved.txt").read_text() == "mine"


def test_a_field_nobody_typed_into_shows_what_was_saved_elsewhere(tmp_path):
    test = opened(tmp_path)
    (tmp_path / "saved.txt").write_text("theirs")
    assert held(test.run())[0] == "theirs"


def test_a_choice_is_kept_for_its_own_window(tmp_path):
    test = opened(tmp_path)
    test.toggle[0].set_value(True)
    test.run()
    assert opened(tmp_path).toggle[0].value is True
    assert opened(tmp_path, window="").toggle[0].value is False


@pytest.mark.parametrize("typed", ["c", ["q"], 7])
def test_what_the_field_cannot_hold_any_more_is_let_go(tmp_path, typed):
    keep_typed(tmp_path, WINDOW, "form", "kind", None, typed)
    assert held(opened(tmp_path))[3] is None


def test_a_change_whose_callback_is_overtaken_is_kept_by_the_run_that_overtakes_it(
    tmp_path, monkeypatch
):
    from edgetest.app.kept_fields import KeptForm

    test = opened(tmp_path)
    monkeypatch.setattr(KeptForm, "_changed", lambda *of_the_field: None)
    assert held(fill(test)) == FILLED
    assert held(opened(tmp_path)) == FILLED


def test_a_field_begins_with_what_it_holds_should_the_browser_never_hear_of_it_else(tmp_path):
    fill(opened(tmp_path))
    for again in (opened(tmp_path), opened(tmp_path).run()):
        begun = [
            again.text_input[0].proto.default,
            *(each.proto.default for each in again.number_input),
            again.selectbox[0].proto.default,
            list(again.multiselect[0].proto.default),
            list(again.button_group[0].proto.default),
            again.text_area[0].proto.default,
        ]
        assert begun == ["Boil the rope", 4, 0.6, 1, [1], [1], "Oil it"]
