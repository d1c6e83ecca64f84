"""A printed line that is typed as it stands is refused: its words in capitals are no readings."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.steel.steel_seen import HardnessSeen, HeatSeen, PieceSeen, SteelSeen, TemperSeen
from edgetest.study.steel import fill_in
from edgetest.study.steel.entry_hint import FIRST_LOOK
from edgetest.study.steel.row_kinds import hardness_seen
from tests.study.steel.filled_in import SEEN

FILES, TESTER = HardnessSeen(55.0, 60.0), HardnessSeen(58.0, 58.0, by_files=False)


def test_a_line_typed_as_printed_writes_nothing_and_says_what_belongs_there(tmp_path, run):
    (tmp_path / "study.toml").write_text(
        'title = "t"\n[[evidence.pieces]]\nid = "A"\n', encoding="utf-8"
    )
    before = (tmp_path / "study.toml").read_bytes()
    row = ("piece=A", "coupon=1", "grain=FINE-MEDIUM-OR-COARSE", "hardness_below=LOW-HIGH")
    status, _, told = run("enter", tmp_path, "--evidence", "heats", *row)
    assert status != 0
    assert "grain: FINE-MEDIUM-OR-COARSE only keeps a place" in told
    assert "put in what you saw: one of fine, medium, coarse" in told
    assert "hardness_below: LOW-HIGH only keeps a place" in told
    assert "60-65 where file 60 skated" in told
    assert (tmp_path / "study.toml").read_bytes() == before


@pytest.mark.parametrize("key", sorted(fill_in.TO_FILL_IN))
def test_each_place_is_refused_and_what_was_seen_is_not(key):
    with pytest.raises(UnusableInput, match=r"put in what you saw: .*; or leave the cell out"):
        fill_in.refuse_unfilled({key: fill_in.TO_FILL_IN[key]}, "edgetest enter")
    fill_in.refuse_unfilled({key: SEEN[key]}, "edgetest enter")


def test_better_same_and_worse_are_said_to_be_of_the_life_of_the_edge():
    with pytest.raises(UnusableInput, match=r"How long its edge lived .* 'same' from 0.8 times"):
        fill_in.refuse_unfilled({"result": fill_in.TO_FILL_IN["result"]}, "edgetest enter")


def test_no_line_holds_a_hardness_that_nobody_read():
    heat = HeatSeen("A", hardness=(TESTER,), tempers=(TemperSeen(200.0, hardness=(TESTER,)),))
    by_tester = SteelSeen(heats=(heat,))
    assert fill_in.hardness_to_fill_in(by_tester, "hardness") == "hardness=HRC-READ"
    mixed = SteelSeen(pieces=(PieceSeen("A", hardness=(FILES,)),), heats=(heat,))
    assert fill_in.hardness_to_fill_in(mixed, "hardness") == "hardness=LOW-HIGH"
    assert fill_in.hardness_to_fill_in(SteelSeen(), "hardness") == "hardness=LOW-HIGH"


def test_a_reading_made_once_more_stands_behind_the_first_and_is_refused_as_printed():
    seen = SteelSeen(heats=(HeatSeen("A", hardness=(FILES,)),))
    there = (FILES, HardnessSeen(None, 40.0), HardnessSeen(65.0, None), TESTER)
    cell = fill_in.hardness_once_more(seen, "hardness_below", there)
    assert cell == "hardness_below='55-60; <40; >65; 58; LOW-HIGH'"
    with pytest.raises(UnusableInput, match="60-65 where file 60 skated"):
        fill_in.refuse_unfilled({"hardness_below": "55-60; LOW-HIGH"}, "edgetest enter")


def test_a_reading_of_another_scale_stands_beside_a_new_one_as_it_was_typed():
    there = (
        *hardness_seen(("650 HV", 58.25), "below"),
        *hardness_seen((600.0,), "below", scale="HB"),
    )
    cell = fill_in.hardness_once_more(SteelSeen(), "hardness_below", there)
    assert cell == "hardness_below='650 HV; 58.25; 600 HB; LOW-HIGH'"


def test_a_heat_seen_by_its_colour_is_asked_by_its_colour():
    by_colour = SteelSeen(heats=(HeatSeen("A", colour="cherry"),))
    assert fill_in.heat_to_fill_in(by_colour, None) == "colour=COLOUR-SEEN"
    both = SteelSeen(heats=(HeatSeen("A", colour="cherry", heat_c=800.0),))
    assert fill_in.heat_to_fill_in(both, None) == "heat_c=DEGREES-READ"
    assert fill_in.heat_to_fill_in(both, 816.4) == "heat_c='816 °C'"


def test_the_first_line_asks_how_many_blades_and_says_nothing_of_a_coat():
    assert "makes_blades=HOW-MANY" in FIRST_LOOK
    assert "coating=none" not in FIRST_LOOK
