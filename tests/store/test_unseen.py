"""Letters that are not seen."""

import pytest

from edgetest.store.unseen import first_unseen, name_fault, shown_whole


@pytest.mark.parametrize(
    "letter", list("\u202e\u200b\u2066\ufeff\u00ad\u3164\x07\U000e0041\u2028\x7f")
)
def test_a_letter_that_is_not_seen_is_told_by_its_number(letter):
    number = f"U+{ord(letter):04X}"
    assert first_unseen(f"K{letter}1") == number
    assert shown_whole(f"K{letter}1") == f"K⟨{number}⟩1"
    assert number in name_fault(f"K{letter}1")


@pytest.mark.parametrize("name", ["K1", "می\u200cروم", "क्\u200dष", "é", "👩\u200d🔧", "v1.2"])
def test_names_of_any_script_are_names(name):
    assert first_unseen(name) == name_fault(name) == ""
    assert shown_whole(name) == name


def test_a_dot_in_front_hides_a_name():
    assert "dot" in name_fault(".import_x")
    assert "dot" in name_fault(" .x")
