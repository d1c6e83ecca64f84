"""The shop book's page: studies found by words, each a way to it; the book below."""

import pytest

from edgetest.study.shop.shop_memory import book_of
from tests.app.test_navigation_pages import page, words
from tests.study.shop.test_shop_book import write_study


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """Three studies that the book has read, and one that it has not."""
    monkeypatch.setenv("EDGETEST_WORKSPACE", str(tmp_path))
    (tmp_path / ".tour_closed").touch()
    for number in range(3):
        write_study(tmp_path / f"tempers_{number}", 1.4 + 0.1 * number, number, day=10 + number)
    book_of(tmp_path)
    write_study(tmp_path / "later", 1.5, 9)
    return tmp_path


def test_studies_are_found_by_words_and_opened_from_there(shop):
    run = page("shop-book", seconds=60).run()
    assert not run.exception
    assert "1 study changed since this book last read them" in words(run)
    assert "Life, times that of" in words(run)
    assert "Whether the medium changes over the years" in words(run)
    assert "tempers_0 33 %" in " ".join(each.body for each in run.get("html"))
    run.text_input[0].set_value("plough 2024-05-11").run()
    assert "1 found" in words(run)
    (hit,) = [each for each in run.button if each.key.startswith("shop_book.open.")]
    assert hit.key.endswith("tempers_1")
    assert "2024-05-11" in hit.label
    hit.click().run()
    assert not run.exception
    assert run.session_state["study.folder"] == "tempers_1"


def test_words_that_no_study_holds_are_said_to_be_held_by_none(shop):
    run = page("shop-book", seconds=60).run()
    run.text_input[0].set_value("harrow tine").run()
    assert "No study that this book has read holds these words" in words(run)


def test_a_comparison_takes_the_shop_s_spread_where_a_person_says_so(shop):
    book_of(shop)
    run = page("comparison", seconds=90).run()
    assert "an assumption of this program, not measured in your shop" in words(run)
    (offered,) = [each for each in run.toggle if "3 other studies" in each.label]
    run = offered.set_value(True).run()
    assert not run.exception
    assert "comes from 3 earlier studies of your shop" in words(run)
