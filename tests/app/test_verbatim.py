"""Texts of somebody else as Streamlit's Markdown; `tests/browser/test_hostile_texts.py` looks."""

import re

import pytest

from edgetest.app.verbatim import APART, verbatim, verbatim_lines, verbatim_list

ORDINARY = (
    "K1", "K1_a", "temper 200 °C", "W30 of 12.5 µm", "5 < 6", "C:\\logs\\a.csv", "Müller & Söhne",
    "12:30:15", "a: b; c", "it's \"q\" (new)", "3 - 4", "Give --fresh in gf.", "(x) a.",
    "9/10", "1,5 mm", "नाम", "ｗ",
)  # fmt: skip


@pytest.mark.parametrize("text", ORDINARY)
def test_ordinary_words_come_back_as_they_are(text):
    """A field's label is read aloud as it stands, marks and all."""
    assert verbatim(text).replace("\u00a0", " ") == text


def read(marked):
    """What a reader of Markdown makes of it: marks taken away, what parts it too (CommonMark)."""
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", marked.replace(APART, ""))


HOSTILE = (
    "![x](http://evil.test/a.png) $x$ :red[hot] <b>", "**b** _i_ ~~s~~ `c`", "\\* \\",
    "&amp; &#65;",
    ":smile: :+1: :material/home: :material_home: :streamlit:", "a -> b <- c -- d >= e <-> f",
    "www.evil.test a@b.test", "# h", "- x", "> q", "1. x", "1) x", "+ x", "---", "[^1]: x",
)  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_what_has_a_meaning_is_marked_and_nothing_is_lost(text):
    assert read(verbatim(text)) == text
    assert verbatim(text) != text


def test_no_sign_is_left_whole():
    """Icons, emoji, arrows and addresses are looked for after the marks are taken away."""
    for text in HOSTILE[4:7]:
        parts = [read(part) for part in verbatim(text).split(APART)]
        for part in parts:
            assert not re.search(
                r":material|:[\w+-]*[a-z+]+[\w+-]*:|->|<-|--|>=|https?:|www\.", part
            )
            assert "@" not in part[1:]


def test_what_is_not_seen_is_shown_by_its_number():
    assert verbatim("edge\u202egpj.exe") == "edge⟨U+202E⟩gpj.exe"
    assert verbatim("a\u200bb") == "a⟨U+200B⟩b"
    assert verbatim("می\u200cروم") == "می\u200cروم"  # part of the word


def test_lines_stay_lines_only_where_they_may():
    assert verbatim("a\n\n# b") == "a # b".replace("#", "\\#")
    assert verbatim_lines("a\n# b") == "a  \n\\# b"
    assert verbatim_list(["a", "- b"]) == "- a\n- \\- b"


def test_a_command_of_the_program_is_code_and_nothing_else_is():
    assert verbatim("Or *use* `edgetest tone STUDY --json`.") == (
        "Or \\*use\\* `edgetest tone STUDY --json`."
    )
    for text in ("`edgetest x$y$`", "``edgetest tone``", "`edgetest ![x](a)`", "`rm edgetest`"):
        assert read(verbatim(text)) == text
        assert "\\`" in verbatim(text)
