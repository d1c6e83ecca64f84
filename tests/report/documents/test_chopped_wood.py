"""What is weak in the wood, and what befell the comparison blade, reach the customer's page."""

import re

import pytest

from edgetest.report.documents.chopped_pieces import pieces_table
from edgetest.report.documents.chopped_rows import log_section
from edgetest.report.documents.chopped_wood import wood_weaknesses
from edgetest.report.documents.chopper_numbers import figure_rows
from edgetest.report.documents.chopper_words import first_doubts, tool_sentences, trial_rows
from edgetest.report.documents.tool_facts import tool_rows
from edgetest.report.figures.chop_figures import plot_chops
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.chop_departures import chop_departures
from edgetest.study.sources import open_chops
from tests.report.documents.hook_logs import HEAD, STUDY, analysed

LOG = """T1,inspection,,,,,,,,0,0
C1,inspection,,,,,,,,0,0
T1,billet,12,50,50,white ash,12,1,a,0,0
C1,billet,16,50,50,white ash,12,,a,1,0
D2,billet,30,50,50,white ash,12,,a,7,5
T1,billet,13,50,50,white ash,20,,b,0,0
C1,billet,17,50,50,white ash,,2,f,2,1
T1,billet,>25,50,50,white ash,12,,c,0,0
C1,billet,16,50,50,white ash,12,,c,2,1
T1,billet,>40,60,60,hazel,green,,d,1,0
T1,billet,>42,60,60,hazel,30,,e,1,0
"""


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    """Knots, wet wood, water by a word, a wood without published hardness (all invented)."""
    return analysed(tmp_path_factory.mktemp("hook"), LOG)


def test_weak_wood_of_the_tool_and_of_the_control_is_told_on_the_first_page(result):
    told = wood_weaknesses(result, "T1")
    assert told.startswith(
        "Knots in 1 of 5 pieces (they cost strokes); green or wetter than 19 % in 3 of 5 pieces"
        " (softer than dry), 1 by the word green alone; no"
    )
    assert "no published hardness of hazel" in told
    assert "green hardness" not in told
    knots, water = (
        "knots in 1 of 3 pieces (they cost strokes)",
        "water not noted for 1 of 3 pieces (row 8)",
    )
    assert f"Pieces of C1 beside it: {knots}; {water}." in told
    tested = result.study.blade("T1")
    assert ("About the wood", told) in tool_rows(result, tested, "metric")


def test_the_box_holds_the_hardest_piece_and_what_it_failed_at(tmp_path):
    head = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board,result"
    rows = ["T1,billet,1,3,38,hazel,38,p1,", "T1,billet,2,14,45,European ash,14,p2,",
            "T1,billet,3,4,38,hazel,38,p3,", "T1,flex,1,,,,,,fail", "T1,shave,1,,,,,,pass",
            "T1,shave,2,,,,,,fail"]  # fmt: skip
    (tmp_path / "study.toml").write_text(STUDY, "utf-8")

    def told(*lines):
        (tmp_path / "chops.csv").write_text("\n".join([head, *lines]) + "\n", "utf-8")
        return " ".join(tool_sentences(analyse_chops(open_chops(tmp_path)), "T1"))

    said = told(*rows)
    hardest = "Hardest piece of this tool: 14 strokes; European ash, 14 % water, round, 45 mm."
    assert hardest in said
    assert "It failed in trial: flex and shaving after the chopping (1 of 2)." in said
    assert "; European ash" not in told(*rows[:1], *rows[2:3])
    assert "failed" not in told(*rows[:3], rows[4])
    assert told(rows[3]).startswith("It has not been chopped with. It failed in trial: flex.")
    standing = told(rows[0], rows[1].replace("14,45", ">14,45"), rows[2])
    assert "14 strokes, and it still stood; European ash" in standing
    left = told(*rows, "T1,billet,4,>9,38,hazel,38,p4,")  # it may take more than those that fell
    assert hardest.replace("this tool", "this tool that fell") in left
    thinner = told(*rows, "T1,billet,4,12,44,European ash,14,p4,")  # of one row with the hardest
    assert hardest in thinner


def test_sound_wood_is_not_spoken_of(tmp_path):
    sound = "T1,billet,12,50,50,white ash,12,,a,,\nT1,billet,14,50,50,white ash,12,,b,,\n"
    assert wood_weaknesses(analysed(tmp_path, sound), "T1") == ""


def test_wet_pieces_are_told_also_where_nobody_noted_their_wood(tmp_path):
    log = "T1,billet,12,50,50,,45,,a,,\nT1,billet,14,50,50,,wet,,b,,\nT1,billet,14,50,50,,19,,b,,\n"
    assert wood_weaknesses(analysed(tmp_path, log), "T1").startswith(
        "Green or wetter than 19 % in 2 of 3 pieces (softer than dry), 1 by the word wet"
    )


@pytest.mark.parametrize(
    ("word", "means"), [("wet", "taken as green, never dried"), ("green", "softer than dry")]
)
def test_a_word_that_rain_may_have_typed_is_not_told_as_softer_wood(tmp_path, word, means):
    log = f"T1,billet,12,50,50,white ash,{word},,a,,\nT1,billet,14,50,50,white ash,{word},,b,,\n"
    told = wood_weaknesses(analysed(tmp_path, log), "T1")
    assert f"{word.capitalize()} in 2 of 2 pieces, by that word alone ({means})" in told


def test_what_the_row_of_the_wood_says_leaves_room_for_other_doubts(result):
    first, second = (" ".join(part) for part in first_doubts(result, "T1"))
    assert "side hardness of hazel" not in first
    assert "Moisture is given in a word" not in first
    assert "side hardness of hazel" not in second  # no interval of this page rests on it
    assert "Moisture is given in a word" in second


def test_damage_of_the_comparison_blade_is_told_as_that_blades_and_no_customers(result):
    own, beside = (one for one in tool_sentences(result, "T1") if "chip" in one)
    assert own == "After 132 chops: 1 new chip and no new rolls (counted by eye)."
    assert beside == ("Beside it, C1, after 49 chops: 2 new chips and 1 new roll (counted by eye).")
    assert not any("D2" in one or "7 new" in one for one in tool_sentences(result, "T1"))
    assert " ".join(tool_sentences(result, "T1")).count("C1 (the shop's hook)") == 1


def test_a_comparison_blade_that_nobody_looked_at_is_told_so(tmp_path):
    log = "T1,billet,12,50,50,white ash,12,,a,2,0\nC1,billet,16,50,50,white ash,12,,a,,\n"
    told = tool_sentences(analysed(tmp_path, log), "T1")
    assert "Beside it, C1: nobody looked at its edge after it had chopped." in told
    found = (
        "After 12 chops: 2 chips and no new rolls (counted by eye), not looked at before the test."
    )
    assert found in told


@pytest.mark.parametrize(
    ("cells", "edge"), [("1,0", "after 16 chops: 1 chip and no new rolls"), (",", "nobody looked")]
)
def test_a_tool_not_yet_chopped_with_is_told_so_before_the_comparison_blade(tmp_path, cells, edge):
    log = f"C1,billet,16,50,50,white ash,12,,a,{cells}\n"
    first, second = tool_sentences(analysed(tmp_path, log), "T1")
    assert first == "It has not been chopped with."
    assert second.startswith("Beside it, C1 (the shop's hook)")
    assert edge in second


def test_one_stroke_and_one_chop_are_told_as_one(tmp_path):
    log = "T1,billet,>1,60,60,white ash,12,,d,0,0\n"
    first, counted, edge = tool_sentences(analysed(tmp_path, log), "T1")
    assert first.startswith("1 stroke did not sever a piece of white ash")
    assert "1 piece still stood after 1 stroke in all" in counted
    assert edge.startswith("After 1 chop: no new chips")
    (first, *_) = tool_sentences(analysed(tmp_path, log.replace(">1", "1")), "T1")
    assert first.startswith("About 1 stroke severs a piece of white ash")


def test_pieces_that_were_not_severed_stand_beside_mean_and_bound(result):
    ash, hazel = (row[3] for row in pieces_table(result, "T1", "metric")["rows"])
    assert ash.endswith("), 1 of 3 not severed")
    assert hazel.startswith("none of 2 severed in 40 and 42 (mean of pieces like it: over ")
    assert hazel.endswith(")")
    assert "(1 of 3 not severed); whether" in (first := tool_sentences(result, "T1"))[0]
    assert "3 pieces, 1 of them not severed, 3 boards." in first[1]


def test_strokes_that_severed_nothing_are_those_of_the_log_not_their_mean(tmp_path):
    log = "T1,billet,>40,60,60,white ash,12,,d,,\nT1,billet,>42,60,60,white ash,12,,e,,\n"
    first, *_ = tool_sentences(analysed(tmp_path, log), "T1")
    assert first.startswith("40 and 42 strokes did not sever 2 pieces of white ash")
    assert re.search(r"such a piece takes over \d+ strokes on average\.$", first)


def test_a_broken_mean_is_told_in_tenths(tmp_path):
    log = "T1,billet,12,50,50,white ash,12,,a,,\nT1,billet,13,50,50,white ash,12,,a,,\n"
    result = analysed(tmp_path, log)
    ((_, _, each, mean),) = pieces_table(result, "T1", "metric")["rows"]
    assert each == "12, 13"
    assert mean.startswith("12.5 (")
    assert tool_sentences(result, "T1")[0].startswith("About 12.5 strokes sever")


def test_green_wood_by_its_percent_departs_like_green_wood_by_its_word(result):
    done = [one.done for one in chop_departures(result.study, result.protocol, result.log, ["T1"])]
    assert "2 pieces of green hazel, 60 mm × 60 mm" in done


def test_pieces_whose_water_nobody_noted_are_named_apart_from_a_word(tmp_path):
    log = "".join(
        f"T1,billet,12,50,50,white ash,{water},,{board},,\n"
        for water, board in (("12", "a"), ("", "b"), ("air-dry", "c"), ("12", "d"))
    )
    found = analysed(tmp_path, log)
    told = wood_weaknesses(found, "T1")
    assert told.startswith("Air-dry in 1 of 4 pieces, by that word alone; water not noted for 1 of")
    assert "1 of 4 pieces (row 3)" in told
    done = [one.done for one in chop_departures(found.study, found.protocol, found.log, ["T1"])]
    assert "moisture not noted in 1 of 4 rows" in done


def test_what_was_typed_of_a_tool_is_printed_where_no_swing_was_measured(tmp_path):
    analysed(tmp_path, "T1,billet,12,50,50,white ash,12,,a,,\n")
    typed = '{id = "T1", mass_g = "1 1/2 lb", spine_mm = 6.5, note = "a gift", '
    typed += "width_mm = 68, thickness_behind_edge_mm = 0.9}"
    (tmp_path / "study.toml").write_text(STUDY.replace('{id = "T1"}', typed), encoding="utf-8")
    found = analyse_chops(open_chops(tmp_path))
    rows = dict(tool_rows(found, found.study.blade("T1"), "metric"))
    assert rows["Of this tool"] == (
        "a gift; mass 1 1/2 lb, width 68 mm, spine 6.5 mm, behind the edge 0.9 mm"
    )


def test_damage_is_called_new_only_where_the_edge_was_looked_at_before(tmp_path):
    piece = "T1,billet,12,50,50,white ash,12,,a,2,1\n"
    study = STUDY.replace('{id = "T1"}', '{id = "T1", edge_length_mm = 200}')
    for first, words in (
        ("", "Rolls per 10 cm of edge, new or old"),
        ("T1,inspection,,,,,,,,0,0\n", "New rolls per 10 cm of edge"),
    ):
        analysed(tmp_path, first + piece)
        (tmp_path / "study.toml").write_text(study, encoding="utf-8")
        names = [row[0] for row in figure_rows(analyse_chops(open_chops(tmp_path)), "T1")]
        assert [name for name in names if "olls" in name] == [words]


def test_chops_after_the_last_look_are_told_where_its_counts_stand(tmp_path):
    study = STUDY.replace('{id = "T1"}', '{id = "T1", edge_length_mm = 200}')
    rows = "T1,inspection,,,,,,,,0,0\nT1,billet,12,50,50,white ash,12,,a,0,0\n"
    analysed(tmp_path, f"{rows}T1,billet,14,50,50,white ash,12,,a,,\n")
    (tmp_path / "study.toml").write_text(study, encoding="utf-8")
    found = analyse_chops(open_chops(tmp_path))
    (edge,) = (one for one in tool_sentences(found, "T1") if one.startswith("After"))
    assert "(counted by eye); not looked at after 14 more chops. Seeing no chip" in edge
    names = [row[0] for row in figure_rows(found, "T1")]
    assert "New chips per 10 cm of edge, after 12 chops" in names


def test_one_piece_given_up_is_told_with_its_strokes_and_what_the_bound_is_of(tmp_path):
    found = analysed(tmp_path, "T1,billet,>30,60,60,white ash,12,,d,,\n")
    ((_, _, each, mean),) = pieces_table(found, "T1", "metric")["rows"]
    assert each == ">30"
    assert re.fullmatch(r"not severed in 30 \(mean of pieces like it: over \d+\)", mean)
    first = tool_sentences(found, "T1")[0]
    assert re.search(
        r"^30 strokes did not sever .+; pieces differ, such take over \d+ strokes on average\.$",
        first,
    )
    labels = [text.get_text() for text in plot_chops(found).get_legend().get_texts()]
    assert labels[-1] == "still stood"


def test_a_chart_of_severed_pieces_has_no_line_for_an_arrow(tmp_path):
    found = analysed(tmp_path, "T1,billet,30,60,60,white ash,12,,d,,\n")
    labels = [text.get_text() for text in plot_chops(found).get_legend().get_texts()]
    assert labels == ["T1"]


def test_two_thicknesses_of_round_pieces_that_count_as_one_size_are_both_told(tmp_path):
    rows = ["T1,billet,1,4,45,hazel,38,p1,", "T1,billet,2,4,1 3/4 in,hazel,38,p2,",
            "T1,knot,3,,,hazel,,,pass"]  # fmt: skip
    heading = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board,result"
    (tmp_path / "study.toml").write_text(STUDY, "utf-8")
    (tmp_path / "chops.csv").write_text("\n".join([heading, *rows]) + "\n", "utf-8")
    result = analyse_chops(open_chops(tmp_path))
    (row,) = pieces_table(result, "T1", "metric")["rows"]
    assert row[1] == "round, 45 mm and 1 3/4 in"
    third = rows[0].replace(",1,4,45,", ",4,4,46,")
    (tmp_path / "chops.csv").write_text("\n".join([heading, *rows, third]) + "\n", "utf-8")
    (row,) = pieces_table(analyse_chops(open_chops(tmp_path)), "T1", "metric")["rows"]
    assert row[1] == "round, 44.4 to 46 mm"
    knot = dict(trial_rows(result, "T1"))["Knot chop"]
    assert knot == "passed: a knot hacked along the whole edge; whether it passed, the maker judged"


def test_pieces_given_up_after_as_many_strokes_are_told_once(tmp_path):
    log = "T1,billet,>40,60,60,white ash,12,,d,,\nT1,billet,>40,60,60,white ash,12,,e,,\n"
    first, *_ = tool_sentences(analysed(tmp_path, log), "T1")
    assert first.startswith("Both pieces of white ash")
    assert "still stood after 40 strokes each: such a piece takes over" in first


def poles(*counts):
    """Rows of two hooks on poles of their own sizes, three boards and more (invented)."""
    sizes = (38, 35, 42, 31, 52, 60, 48)
    return "".join(
        f"{tool},billet,{n},{size},{size},hazel,38,,p{k},,\n"
        for k, (size, pair) in enumerate(zip(sizes, zip(*counts, strict=True), strict=True))
        for tool, n in zip(("T1", "C1"), pair, strict=True)
    )


def test_a_verdict_that_rests_on_even_counts_says_so_on_page_one(tmp_path):
    even = analysed(tmp_path, poles((3, 2, 5, 2, 6, 8, 7), (4, 4, 7, 3, 9, 11, 8)))
    headline = tool_sentences(even, "T1")[0]
    assert "shop's hook) did (which counts on pieces this much alike)" in headline
    first = " ".join(first_doubts(even, "T1")[0])
    assert "counts on how alike the pieces were" in first
    assert "If they differed as much: 0.7" in first
    sure = analysed(tmp_path, poles((9, 6, 15, 6, 18, 24, 21), (24, 24, 42, 18, 54, 66, 48)))
    assert "luck" not in tool_sentences(sure, "T1")[0]


def test_green_wood_by_the_word_alone_is_told_as_such(tmp_path):
    found = analysed(tmp_path, "T1,billet,6,50,50,white ash,green,,a,,\n")
    told = wood_weaknesses(found, "T1")
    assert told.startswith("Green in 1 of 1 piece, by that word alone (softer than dry)")


def test_a_mishap_stands_in_the_log_of_the_sheet_by_that_word(tmp_path):
    head = HEAD.strip().replace(",board,", ",board,mishap,note,")
    row = "T1,billet,12,50,50,white ash,12,,a,hit the jaw,bark on,,\n"
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(f"{head}\n{row}", encoding="utf-8")
    (section_,) = log_section(analyse_chops(open_chops(tmp_path)), "T1", "metric")
    assert "mishap: hit the jaw; bark on" in str(section_)


def test_a_knot_that_was_noted_as_a_mishap_is_no_row_to_leave_out(tmp_path):
    head, log = HEAD.strip().replace(",board,", ",board,mishap,"), "T1,billet,12,50,50,white ash,12"
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")

    def doubted(mishap):
        (tmp_path / "chops.csv").write_text(f"{head}\n{log},1,a,{mishap},,\n", encoding="utf-8")
        return "mishap_kept" in [one.code for one in analyse_chops(open_chops(tmp_path)).doubts]

    assert not doubted("knot in the cut")
    assert doubted("the clamp gave")
