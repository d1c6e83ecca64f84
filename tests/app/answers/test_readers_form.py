"""The shop's files, tester and oven are written on the page Verdict as the command writes them."""

import pytest
from streamlit.testing.v1 import AppTest

from edgetest.store.records import load_study
from edgetest.study.steel.steel_rows import steel_rows_of
from tests.study.steel.found_steel import PIECE, make_study


def readers(folder):
    """Page of the form alone."""
    from edgetest.app.answers.readers_form import readers_form
    from edgetest.study.sources import open_source

    readers_form(open_source(folder))


@pytest.fixture
def page(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    return AppTest.from_function(readers, args=(str(folder),), default_timeout=60).run()


def saved(page, files):
    by = {field.label: field for field in page.text_input}
    by["Your hardness files, HRC"].set_value(files)
    by["Your hardness tester is good to, HRC"].set_value("0,5")
    (oven,) = page.selectbox
    assert oven.value is None  # nobody has said
    oven.set_value("no")
    next(each for each in page.button if each.label.startswith("Save")).click()
    page.run()
    assert not page.exception


def test_files_tester_and_oven_are_kept_as_typed(page, tmp_path):
    saved(page, "40; 48,5; 60")
    rows = steel_rows_of(load_study(tmp_path / "s"))
    assert rows.files_hrc == (40, 48.5, 60)
    assert rows.tester_u_hrc == 0.5
    assert rows.oven_checked is False
    assert len(rows.pieces) == 1


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("40,45,50", (40, 45, 50)),
        ("40 48,5 50", (40, 48.5, 50)),
        ("40, 45, 48,5", (40, 45, 48.5)),
        ("48,5", (48.5,)),
        ("50", (50,)),
    ],
)
def test_files_may_stand_apart_by_spaces_or_commas(page, tmp_path, typed, kept):
    saved(page, typed)
    assert not page.error
    assert steel_rows_of(load_study(tmp_path / "s")).files_hrc == kept


def test_a_file_that_is_none_is_told_and_nothing_is_kept(page, tmp_path):
    saved(page, "40; coarse")
    told = " ".join(error.value for error in page.error)
    assert '"coarse" is not a number' in told
    assert "**Your hardness files, HRC**" in told
    assert "oven_checked" not in load_study(tmp_path / "s").evidence


def test_no_field_has_an_empty_bubble_of_help(page):
    assert {field.help for field in page.text_input} & {"None"} == set()
