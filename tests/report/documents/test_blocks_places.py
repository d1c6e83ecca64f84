"""A figure that finds no room leaves no half of a page empty: it floats, or is set smaller."""

import datetime
import re

import pytest
from typst import TypstError

from edgetest.report.documents import typeset
from edgetest.report.documents.blocks import Contents, facts, figure, section, table, text
from edgetest.report.documents.typeset import write_document
from tests.report.documents.pdf_pages import page_texts

MADE = datetime.datetime(2026, 11, 27, tzinfo=datetime.UTC)
SQUARE = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="400" height="320" viewBox="0 0 400 320">'
    b'<rect width="400" height="320" fill="#ccc"/></svg>'
)
BEFORE = "Words that fill the page down to its half. " * 50


def pages(folder, place, paper):
    shown = figure("square.svg", "a square", "A square.", place=place)
    contents = Contents(
        title="A page", subtitle="of words", maker="Invented", pictures={"square.svg": SQUARE},
        sections=[
            section("First", text(BEFORE), shown),
            section("Second", text("What follows the figure.")),
        ],
        description="A page.", foot="foot",
    )  # fmt: skip
    (path,) = write_document(contents, folder, "page", kinds=["pdf"], paper=paper, timestamp=MADE)
    return [" ".join(page.split()) for page in page_texts(path)]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_what_follows_a_floating_figure_fills_the_page_before_it(tmp_path, paper):
    first, second = pages(tmp_path, "float", paper)
    assert "What follows the figure." in first
    assert "A square." in second


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_a_figure_that_stays_here_is_set_smaller_where_the_page_is_short(tmp_path, paper):
    first, *_ = pages(tmp_path, "here", paper)
    assert "A square." in first
    plain, *_ = pages(tmp_path, "flow", paper)
    assert "A square." not in plain


def test_a_command_stands_on_the_page_as_one_types_it(tmp_path):
    words = (
        "Fix your looks (`edgetest plan STUDY --looks`). The `bevel` stays as it was typed. "
        "Try another law (`--law wedge`)."
    )
    contents = Contents(
        title="A page", subtitle="of words", maker="Invented", pictures={},
        sections=[section("First", text(words))], description="A page.", foot="foot",
    )  # fmt: skip
    pdf, html = write_document(contents, tmp_path, "page", timestamp=MADE)
    read = " ".join(page_texts(pdf)[0].split())
    assert "looks (edgetest plan STUDY --looks). The `bevel` stays" in read
    assert "law (--law wedge)" in read
    told = html.read_text("utf-8")
    assert "(<code>edgetest plan STUDY --looks</code>). The `bevel` stays" in told
    assert "(<code>--law wedge</code>)" in told


def test_a_figure_that_would_tear_a_list_stays_where_it_stands(tmp_path, monkeypatch):
    """The typesetter refuses such a page; its refusal stands in for one of many pages here."""
    real, tried = typeset._compile_once, []

    def once(main, kind, timestamp):
        tried.append(main.with_name("contents.json").read_text("utf-8"))
        if '"place": "float"' in tried[-1]:
            raise TypstError("PDF/A-2a, PDF/UA-1 error: invalid list (L) structure")
        return real(main, kind, timestamp)

    monkeypatch.setattr(typeset, "_compile_once", once)
    assert "A square." not in pages(tmp_path, "float", "a4")[0]
    assert len(tried) == 2


def test_another_fault_of_the_typesetter_is_told(tmp_path, monkeypatch):
    def once(main, kind, timestamp):
        raise TypstError("file not found")

    monkeypatch.setattr(typeset, "_compile_once", once)
    with pytest.raises(TypstError, match="file not found"):
        pages(tmp_path, "float", "a4")


def test_no_row_of_facts_is_parted_by_the_end_of_a_page(tmp_path):
    """Rows of many lines: one after another, some row meets the end of each page."""
    rows = [
        (f"row {n}", f"begins{n} {'steel heated and quenched ' * 45}ends{n}") for n in range(60)
    ]
    contents = Contents(
        title="A page", subtitle="of words", maker="Invented", pictures={},
        sections=[section("First", facts(rows))], description="A page.", foot="foot", sheet=True,
    )  # fmt: skip
    (path,) = write_document(contents, tmp_path, "page", kinds=["pdf"], timestamp=MADE)
    found = page_texts(path)
    assert len(found) > 2
    for n in range(60):
        (page,) = [one for one in found if re.search(rf"begins{n}\b", one)]
        assert re.search(rf"ends{n}\b", page)


def test_a_figure_of_very_many_blades_is_told_in_words_that_a_pdf_takes(tmp_path):
    every = ", ".join(f"blade {n}: life 80 (70 to 90)" for n in range(1500))
    shown = figure("square.svg", every, "A square.")
    contents = Contents(
        title="A page", subtitle="of words", maker="Invented", pictures={"square.svg": SQUARE},
        sections=[section("First", shown)], description="A page.", foot="foot",
    )  # fmt: skip
    (path,) = write_document(contents, tmp_path, "page", kinds=["pdf"], timestamp=MADE)
    assert "A square." in " ".join(page_texts(path))
    assert shown["alt"].startswith("blade 0:")
    assert shown["alt"].endswith("blade 1499: life 80 (70 to 90)")


def test_a_table_of_sentences_is_parted_between_its_rows_rather_than_leave_half_a_page(tmp_path):
    columns = [("Asked", "left", 1.0), ("Done", "left", 1.0)]
    rows = [[f"row {n} begins " + "and goes on " * 12, f"row {n} done"] for n in range(8)]
    contents = Contents(
        title="A page", subtitle="of words", maker="Invented", pictures={},
        sections=[section("First", text(BEFORE)), section("Second", table(columns, rows))],
        description="A page.", foot="foot",
    )  # fmt: skip
    (path,) = write_document(contents, tmp_path, "page", kinds=["pdf"], timestamp=MADE)
    first, second = (" ".join(page.split()) for page in page_texts(path))
    assert "row 0 begins" in first
    assert "row 7 begins" in second
    for n in range(8):  # and no row is torn
        assert (f"row {n} done" in first) == (f"row {n} begins" in first)
