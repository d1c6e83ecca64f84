"""Names of any script in figures: a font of the machine, else numbers; a browser's own letters."""

import warnings

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from edgetest.report import letters
from edgetest.report.figures.plot_style import (
    in_look,
    narrow_svg_bytes,
    new_axes,
    screen_svg_bytes,
    svg_bytes,
)
from edgetest.report.letters_told import letters_doubts

NAMES = ["焼入", "焼戻", "H1"]


@pytest.fixture
def figure():
    with in_look():
        ax = new_axes(7, 2)
        ax.set_yticks([0, 1, 2], NAMES)
        ax.set_title("焼入 : 焼戻")
        ax.set_xlabel("life to 12 µm edge width (cuts, log scale)")
    return ax.figure


@pytest.fixture
def no_fonts(monkeypatch):
    monkeypatch.setattr(letters, "_system_fonts", lambda: ())


def box_font(path, characters):
    """A font whose only form is a box, for these characters."""
    pen = TTGlyphPen(None)
    pen.moveTo((50, 0))
    for corner in ((50, 700), (650, 700), (650, 0)):
        pen.lineTo(corner)
    pen.closePath()
    made = FontBuilder(1000, isTTF=True)
    made.setupGlyphOrder([".notdef", "box"])
    made.setupCharacterMap(dict.fromkeys(map(ord, characters), "box"))
    made.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "box": pen.glyph()})
    made.setupHorizontalMetrics({".notdef": (700, 0), "box": (700, 50)})
    made.setupHorizontalHeader(ascent=800, descent=-200)
    names = {"familyName": "Boxes of a test", "styleName": "Regular", "psName": "BoxesOfATest"}
    made.setupNameTable(names)
    made.setupOS2()
    made.setupPost()
    made.save(path)
    return path


def comments(svg):
    """What matplotlib says that it outlined: each text as a comment."""
    return [part.split("-->")[0].strip() for part in svg.decode().split("<!--")[1:]]


def test_letters_without_a_font_are_numbers_on_paper_and_text_in_a_browser(figure, no_fonts):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        paper, screen = svg_bytes(figure), screen_svg_bytes(figure)
        narrow = narrow_svg_bytes(figure, 3.7)
    assert {"[713C.5165]", "[713C.623B]", "H1", "[713C.5165] : [713C.623B]"} <= set(comments(paper))
    assert "0.4" in comments(paper)  # numbers of the other axis stay
    assert "焼" not in paper.decode()
    for drawn in (screen, narrow):
        assert [drawn.decode().count(f">{name}</text>") for name in NAMES] == [1, 1, 1]
    assert ">(cuts, log scale)<" in narrow.decode()
    assert [label.get_text() for label in figure.axes[0].get_yticklabels()] == NAMES
    assert figure.axes[0].get_xlabel() == "life to 12 µm edge width (cuts, log scale)"


def test_a_font_of_the_machine_is_taken_glyph_by_glyph(figure, monkeypatch, tmp_path, caplog):
    font = box_font(tmp_path / "boxes.ttf", "焼入戻")
    monkeypatch.setattr(letters, "_system_fonts", lambda: ((font, letters._charmap(font)),))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        paper = svg_bytes(figure)
    assert {*NAMES, "焼入 : 焼戻"} <= set(comments(paper))
    assert b"#BoxesOfATest-" in paper
    assert not caplog.records
    assert screen_svg_bytes(figure) == paper
    assert letters_doubts(NAMES) == ()


def test_the_doubt_names_letters_and_names(no_fonts):
    (told,) = letters_doubts({"blades": [{"id": "焼入 2"}, {"id": "Ж"}], "title": "of 刀"})
    assert "“焼入”, “刀”" in told.text
    assert "Ж" not in told.text
    assert told.where.value == "焼入刀"


def test_a_font_that_has_a_box_for_all_is_no_font(tmp_path):
    assert letters._charmap(box_font(tmp_path / "LastResort.ttf", "焼")) == frozenset()
    assert ord("焼") in letters._charmap(box_font(tmp_path / "Boxes.ttf", "焼"))
