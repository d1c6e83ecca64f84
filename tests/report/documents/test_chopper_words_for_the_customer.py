"""The customer's page tells facts; what the maker can do, and the method, stand on the second."""

import pytest

from edgetest.report.documents.advice import without_advice
from edgetest.report.documents.chopped_pieces import beside_sections, log_section, pieces_table
from edgetest.report.documents.chopper_words import first_doubts, tool_sentences
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

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
    heading = "blade,kind,order,chops,width_mm,thickness_mm,species,moisture_pct,board\n"
    rows = "".join(
        f"{blade},billet,{n},{count},50,50,white ash,12,b{n}\n"
        for blade, counts in (("H7", ("20", "22", "19")), ("K1", ("27", ">40", "30")))
        for n, count in enumerate(counts, 1)
    )
    (folder / "chops.csv").write_text(heading + rows, encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_a_miscounted_timing_is_a_fact_and_its_advice_stays_in_the_shop(result):
    first, second = map(" ".join, first_doubts(result, "H7"))
    assert "timing 3, 20 s, fits 19 swings, not 20. It is left out." in first
    assert "count it again" not in first + second


def test_the_comparison_blades_rows_stand_on_the_second_page_without_its_notes(result):
    (own,) = log_section(result, "H7", "metric")
    (beside,) = beside_sections(result, "H7", "metric")
    assert beside["heading"] == "Beside it, piece by piece"
    rows = beside["blocks"][1]["rows"]
    assert [(row[0], row[5]) for row in rows] == [
        ("5", "27 strokes"), ("6", "over 40, still stood"), ("7", "30 strokes")
    ]  # fmt: skip
    titles = [[column["title"] for column in one["blocks"][1]["columns"]] for one in (own, beside)]
    assert titles[0] == [*titles[1], "Note"]
    assert beside_sections(result, "K1", "metric") == []


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
