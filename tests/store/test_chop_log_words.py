"""What makers call the columns of a chop log, and the words that they put for nothing."""

import pytest

from edgetest.store.cells import parse_reading, parse_strokes
from edgetest.store.chop_log import COLUMNS
from edgetest.store.columns import parse_cell
from edgetest.units import Unreadable


@pytest.mark.parametrize(
    ("column", "meant"),
    [("chips", "chips_count"), ("rolls", "rolls_count"), ("strokes", "chops"),
     ("missed", "near_misses")],
)  # fmt: skip
def test_a_column_by_another_name_is_known(column, meant, tmp_path, run):
    log = tmp_path / "chops.csv"
    log.write_text(f"blade,kind,width_mm,thickness_mm,{column}\nH1,lumber,89,38,9\n", "utf-8")
    _, _, told = run("chop", log)
    assert f'the column "{column}" is not known; did you mean "{meant}"?' in told


def test_none_seen_is_told_from_nobody_looked(tmp_path, run):
    log = tmp_path / "chops.csv"
    log.write_text("blade,kind,chips_count\nH1,inspection,none\n", "utf-8")
    _, _, told = run("chop", log)
    assert 'chips_count: "none" is not a number; write 0 if you looked and saw none' in told


@pytest.mark.parametrize("cell", [">30", "30+", "30 +", "≥30"])
def test_a_piece_given_up_is_written_as_a_life_is(cell):
    assert parse_strokes(cell) == parse_reading(">30", "cuts")


@pytest.mark.parametrize("cell", ["gave up at 30", "30, still stood", "not severed (30)"])
def test_words_of_a_piece_given_up_are_told_how_it_is_written(cell):
    with pytest.raises(Unreadable, match="write >30 for a piece that still stood after 30 strokes"):
        parse_strokes(cell)


def test_strokes_that_are_no_number_are_told_of_whole_strokes():
    with pytest.raises(Unreadable) as fault:
        parse_strokes("thirty")
    assert "such as 12, or >30 (or 30+) for a piece that still stood" in fault.value.mend
    with pytest.raises(Unreadable, match="leave it blank"):
        parse_strokes("n/a")


@pytest.mark.parametrize(
    ("column", "cell", "mend"),
    [
        ("moisture_pct", "n/a", "leave it blank where nothing was read"),
        ("moisture_pct", "-", "leave it blank where nothing was read"),
        ("orientation", "-", "leave it blank where nothing was read"),
        ("result", "n/a", "leave it blank where nothing was read"),
        ("mass_g", "1 lb 7 oz", "write 23 oz"),
        ("kind", "stud", "write lumber"),
        ("knots", "yes", "write how many lie in the cut, 0 for none"),
        ("knots", "none", "write how many lie in the cut, 0 for none"),
        ("knots", "-", "leave it blank where nothing was read"),
        ("kind", "-", "write one of billet, lumber"),
    ],
)
def test_a_word_that_no_cell_holds_is_told_what_to_write(column, cell, mend):
    with pytest.raises(Unreadable) as fault:
        parse_cell(COLUMNS[column], cell, "")
    assert fault.value.mend.startswith(mend)


@pytest.mark.parametrize("cell", ["12/2", "12 / 2", "1/2 in", ">30/2"])
def test_a_fraction_is_no_count_of_strokes_and_no_inches(cell):
    with pytest.raises(Unreadable, match=f'^"{cell}" is no count of strokes; write whole strokes'):
        parse_strokes(cell)
