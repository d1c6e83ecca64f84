"""Names and letters that have to fit on paper."""

import pytest

from edgetest.report import letters
from edgetest.report.letters import (
    breakable,
    each_word,
    fonts_for,
    printable,
    short_names,
    shorten,
    words_without_form,
)


def test_keeps_what_a_maker_writes():
    kept = "17° ½ in ≤ 12 µm – “wire edge” é ß Ж Ω ✓"
    assert printable(kept) == kept


@pytest.mark.parametrize(
    ("letter", "number"),
    [("刀", "5200"), ("🔨", "1F528"), ("\ue000", "E000"), ("\U000f0000", "F0000")],
)
def test_a_letter_without_a_form_is_written_by_its_number(letter, number):
    assert printable(f"a{letter}b") == f"a[{number}]b"


def test_drops_control_characters_and_joins_lines():
    assert printable("a\x07b\u00adc\nd\te") == "abc d e"


def test_names_without_form_stay_apart_and_prose_is_left_out_once():
    assert printable("for 山田 太郎, smith") == "for [5C71.7530 592A.90CE], smith"
    assert printable(breakable("焼入" * 5)).count("[") == 1
    assert printable(f"so: {'焼入れ ' * 9}.") == "so: (…) ."
    assert words_without_form("for 山田 太郎, smith (刀)", {ord(c) for c in "for, smith()"}) == [
        "山田", "太郎", "刀",
    ]  # fmt: skip


def test_every_text_of_nested_plain_data_is_changed():
    assert each_word({"a": ["x", 1.5, None], "b": ("y",)}, str.upper) == {
        "a": ["X", 1.5, None], "b": ["Y"],
    }  # fmt: skip


def test_a_font_of_this_machine_is_taken_for_letters_it_has(monkeypatch):
    fonts = (("one.ttf", frozenset({0x5C71})), ("two.ttf", frozenset({0x5C71, 0x7530})))
    monkeypatch.setattr(letters, "_system_fonts", lambda: fonts)
    files, known = fonts_for("山田, smith")
    assert files == ("two.ttf",)
    assert printable("山田", known) == "山田"
    assert fonts_for("smith é Ω")[0] == ()


def test_shortened_name_keeps_both_ends_and_length():
    short = shorten("billhook of the long pattern 7", 15)
    assert len(short) <= 15
    assert short.startswith("bill")
    assert short.endswith("7")


@pytest.mark.parametrize(
    "pattern", ["{} billhook of the long pattern", "billhook of the long pattern {}"]
)
def test_short_names_stay_distinct(pattern):
    names = [pattern.format(n) for n in range(12)]
    short = short_names(names, 16)
    assert len(set(short)) == 12
    assert max(map(len, short)) <= 16


def test_long_word_gets_places_to_break_and_loses_no_letter():
    word = "HEDGING_BILLHOOK_LONGPATTERN_07"
    assert breakable(word).replace("\u200b", "") == word
    assert max(len(part) for part in breakable(word).split("\u200b")) <= 9
    assert breakable("billhook 7") == "billhook 7"
