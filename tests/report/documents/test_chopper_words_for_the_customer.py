"""The customer's page tells facts; what the maker can do, and the method, stand on the second."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.doubts import Where, doubt
from edgetest.report.documents.advice import without_advice
from edgetest.report.documents.chopped_pieces import pieces_table
from edgetest.report.documents.chopped_rows import beside_sections, log_section
from edgetest.report.documents.chopper_words import first_doubts, tool_doubts, tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

COUNTS = ("27", ">40", "30")
STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
control = "K1"
blades = [{id = "H7"}, {id = "K1"}]
[handling.H7]
mass_g = 690
balance_mm = 205
pivot_mm = 12
grip_mm = 60
strike_mm = 310
swings = 20
seconds = [20.9, 21.0, 20.0]
"""


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    folder = tmp_path_factory.mktemp("customer")
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    heading = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct,board,"
    heading += "mishap,exclude,note\n"
    rows = "".join(
        f"{blade},billet,{n},{count},50,50,white ash,12,b{n},,,{note}\n"
        for blade, counts, note in (
            ("H7", ("20", "22", "19"), ""),
            ("K1", COUNTS, "the clamp gave"),
        )
        for n, count in enumerate(counts, 1)
    )
    rows += "K1,billet,4,19,50,50,white ash,12,b3,glanced off,a nail in it,\n"
    (folder / "chops.csv").write_text(heading + rows, encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_a_timing_left_out_stands_behind_what_decides_and_its_advice_stays_in_the_shop(result):
    first, second = map(" ".join, first_doubts(result, "H7"))
    assert "left out: timing 3, 20 s, fits 19 swings, not 20." in second
    assert "count it again" not in first + second


def test_a_number_that_the_tool_cannot_have_stands_on_page_one_however_full_it_is(result):
    where = Where("study.toml", blade="H7")
    told = [doubt("handling_asked", what=f"Place {n} of H7: odd", where=where) for n in range(4)]
    first, second = map(" ".join, first_doubts(replace(result, doubts=tuple(told)), "H7"))
    assert all(f"Place {n} of H7" in first for n in range(4))
    assert "of H7: odd" not in second


def test_the_comparison_blades_rows_stand_on_the_second_page_with_all_that_was_noted(result):
    (own,) = log_section(result, "H7", "metric")
    (beside,) = beside_sections(result, "H7", "metric")
    assert beside["heading"] == "Beside it, piece by piece"
    rows = beside["blocks"][1]["rows"]
    assert [(row[0], row[5], row[7]) for row in rows] == [
        ("5", "27 strokes", "the clamp gave"),
        ("6", "over 40, still stood", "the clamp gave"),
        ("7", "30 strokes", "the clamp gave"),
        ("8", "19 strokes", "left out: a nail in it; mishap: glanced off"),
    ]
    titles = [[column["title"] for column in one["blocks"][1]["columns"]] for one in (own, beside)]
    assert titles[0] == titles[1]
    assert beside_sections(result, "K1", "metric") == []


def test_odd_strokes_of_either_tool_are_told_first_where_the_customer_reads_them(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY.partition("[handling")[0], encoding="utf-8")
    heading = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct,board\n"
    counts = {"H7": (20, 22, 190, 21), "K1": (270, 26, 25, 27)}
    rows = "".join(
        f"{blade},billet,{n},{count},50,50,white ash,12,b{n}\n"
        for blade, each in counts.items()
        for n, count in enumerate(each, 1)
    )
    (tmp_path / "chops.csv").write_text(heading + rows, encoding="utf-8")
    found = analyse_chops(open_chops(tmp_path))
    first, _ = first_doubts(found, "H7")
    rest = "The figures of its tool, and the comparison, rest on this number."
    assert first[:2] == [
        f"H7, row 4: 190 strokes are 9 times as many as the 21 of 3 like pieces of H7. {rest}",
        f"K1, row 6: 270 strokes are 10 times as many as the 26 of 3 like pieces of K1. {rest}",
    ]


def test_the_row_of_odd_strokes_is_the_doubt_s_own_number_whatever_the_log_is_called():
    where = Where("H7: row 9, tries.csv", 4, "H7")
    what = "H7: row 9, tries.csv, row 4, chops: 190 strokes: 9 times as many"
    odd = doubt("strokes_asked", what=what, where=where)
    study = SimpleNamespace(control=None, reference=None)
    made = SimpleNamespace(study=study, against=None, doubts=[odd], as_chopped=(),
                           log=SimpleNamespace(rows=[]))  # fmt: skip
    (told,) = tool_doubts(made, "H7", gravities=("limits",))
    assert told.startswith("H7, row 4: 190 strokes: 9 times as many. ")


def test_a_sentence_of_advice_alone_stays():
    assert without_advice("Weigh the billet.") == "Weigh the billet."
    assert without_advice("It is 12 %. Weigh it.") == "It is 12 %."


def test_the_method_of_the_interval_is_left_to_the_second_page(result):
    assert not any("log-normal" in line for line in tool_sentences(result, "H7"))


def test_a_piece_that_never_fell_is_told_with_its_tool(result):
    told = [
        line for part in first_doubts(result, "H7") for line in part if "given up still" in line
    ]
    assert told
    assert all(line.startswith("K1: ") for line in told)
    assert "1 of 3 not severed" in str(pieces_table(result, "H7", "metric"))
    (place,) = {one.where.blade for one in result.doubts if one.code == "given_up"}
    assert place == "K1"
