"""Figures of a document: one drawing for paper, one for a screen, one that a phone can read."""

import base64
import datetime
import re

from matplotlib.figure import Figure

from edgetest.report.documents import drawn_pictures
from edgetest.report.documents.blocks import Contents, figure, section
from edgetest.report.documents.drawn_pictures import (
    LEAST_PX_PER_IN,
    least_widths,
    on_paper,
    on_screens,
    put_figure,
)
from edgetest.report.documents.typeset import write_document
from edgetest.report.figures.plot_style import NARROW_IN, in_look

MADE = datetime.datetime(2026, 5, 20, tzinfo=datetime.UTC)
SMALLEST_PX, TEXT_PX = 9, 350  # letters, and the text's width on a phone of 390


def drawn(layout):
    with in_look():
        made = Figure(figsize=(7.2, 2.0), layout=layout)
        made.subplots().set_xlabel("cuts")
    return made


def test_a_phone_gets_letters_that_can_be_read(tmp_path):
    pictures = {}
    put_figure(pictures, "anew.svg", drawn("constrained"))
    put_figure(pictures, "fixed.svg", drawn(None))
    put_figure(pictures, "own.svg", drawn(None), narrow=lambda: Figure(figsize=(NARROW_IN, 2)))
    assert set(on_paper(pictures)) == {"anew.svg", "fixed.svg", "own.svg"}
    shown = on_screens(pictures)
    assert set(shown) - set(on_paper(pictures)) == {"narrow.anew.svg", "narrow.own.svg"}
    assert least_widths(shown) == {"fixed.svg": round(7.2 * LEAST_PX_PER_IN)}
    assert 8.5 / 72 * LEAST_PX_PER_IN > SMALLEST_PX  # numbers of an axis
    assert 8.5 / 72 * TEXT_PX / NARROW_IN > SMALLEST_PX
    files = ("anew.svg", "fixed.svg", "own.svg")
    blocks = [figure(name, "What the figure shows", f"About {k} % of it") for k, name in
              enumerate(files, 8)]  # fmt: skip
    contents = Contents("T", "", "", [section(None, *blocks)], pictures, "", "")
    pdf, html = write_document(contents, tmp_path, "page", timestamp=MADE)
    page = html.read_text("utf-8")
    assert (page.count('class="on-wide"'), page.count('class="on-narrow"')) == (2, 2)
    assert f"min-width:{round(7.2 * LEAST_PX_PER_IN)}px" in page
    assert len(re.findall(r'alt="What the figure shows"', page)) == 5
    held = [base64.b64decode(data) for data in re.findall(r"svg\+xml;base64,([^\"]+)", page)]
    assert sum(f'width="{72 * NARROW_IN:g}pt"'.encode() in svg for svg in held) == 2
    assert "About 10\u00a0% of it" in page
    assert pdf.read_bytes().startswith(b"%PDF")


def test_a_figure_is_drawn_where_it_is_asked_for_and_once_for_paper_and_a_wide_screen(monkeypatch):
    seen, pictures, plain, odd = [], {}, drawn(None), drawn(None)
    monkeypatch.setattr(drawn_pictures, "has_letters_without_form", lambda figure: figure is odd)
    monkeypatch.setattr(drawn_pictures, "svg_bytes", lambda each: seen.append(each) or b"<svg/>")
    monkeypatch.setattr(drawn_pictures, "screen_svg_bytes", lambda _: b"letters as typed")
    put_figure(pictures, "plain.svg", plain)
    put_figure(pictures, "odd.svg", odd)
    assert seen == []
    assert on_paper(pictures) == {"plain.svg": b"<svg/>", "odd.svg": b"<svg/>"}
    assert on_screens(pictures) == {"plain.svg": b"<svg/>", "odd.svg": b"letters as typed"}
    assert seen == [plain, odd]
