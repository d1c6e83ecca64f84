"""What speaks against a ratio of two tools: a piece given up, an edge touched up, other pieces."""

import re
from types import SimpleNamespace

import pytest

from edgetest.estimate import format_ratio
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.study.chop.asked_of_likes import asked_of_likes
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.ratio_doubts import pieces_alone
from edgetest.study.sources import open_chops

STUDY = """
title = "Camp hatchet (invented)"
protocol = "billet_chop"
control = "O1"
blades = [{id = "H1"}, {id = "O1"}]
"""
HEAD = "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,chops,chips_count\n"
MINE, THEIRS = (13, 14, 19, 13, 12, 11), ("15", "17", ">40", "16", "18", "14")


def found(folder, mine=MINE, theirs=THEIRS, more=()):
    rows = []
    for n, counts in enumerate(zip(mine, theirs, strict=True), 1):
        for blade, count in zip(("H1", "O1"), counts, strict=True):
            rows.append(f"{blade},billet,{n},board {n},European ash,12,50,50,{count},")
            rows += [f"{each}" for each in more if each.startswith(f"{blade},touch-up,{n},")]
    folder.mkdir(exist_ok=True)
    (folder / "study.toml").write_text(STUDY, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


def told(result, code):
    return [one for one in result.doubts if one.code == code]


def test_a_claim_that_rests_on_a_piece_given_up_is_told_with_the_answer_without(tmp_path):
    result = found(tmp_path / "a")
    (one,) = told(result, "rests_on_given_up")
    assert one.text.startswith(
        "That H1 takes fewer strokes than O1 rests on 1 piece that was given up. Without its "
        "board: 0.78 ("
    )
    log = tmp_path / "a" / "chops.csv"
    head, *rows = log.read_text(encoding="utf-8").splitlines()
    rows = [f"{row},{'given up' if ',board 3,' in row else ''}" for row in rows]
    log.write_text("\n".join([f"{head},exclude", *rows]) + "\n", encoding="utf-8")
    ratio = analyse_chops(open_chops(tmp_path / "a")).report.counts.ratios[0].ratio
    shown = format_ratio(ratio.value, ratio.low, ratio.high)
    assert f"board: {shown}, and nothing tells the two apart. " in one.text
    assert (one.where.blade, one.where.other) == ("H1", "O1")
    first = tool_sentences(result, "H1")[0]
    assert first.endswith("fewer than blade O1 takes (which rests on what was given up).")


@pytest.mark.parametrize(
    "theirs", [("15", "17", "40", "16", "18", "14"), ("37", "39", ">60", "44", "40", "38")]
)
def test_nothing_given_up_or_a_claim_that_stands_without_it_is_not_doubted(tmp_path, theirs):
    assert told(found(tmp_path / "a", theirs=theirs), "rests_on_given_up") == []


def test_a_piece_given_up_that_moves_a_ratio_of_tools_alike_is_told_beside_the_figure(tmp_path):
    theirs = ("12", "13", ">30", "12", "11", "10")
    result = found(tmp_path / "a", theirs=theirs)
    (one,) = told(result, "moved_by_given_up")
    assert told(result, "rests_on_given_up") == []
    assert one.text.startswith("Strokes of H1 over O1, 0.90, count 1 piece that was given up.")
    side = next(line for line in tool_sentences(result, "H1") if line.startswith("Side by side"))
    assert "; without what was given up, and its board, 108 % (" in side
    assert told(found(tmp_path / "b", theirs=[t.strip(">") for t in theirs]), one.code) == []


KNOTTY = ("26", "27", "47", "29", "28", "29")  # the third would be 33 without its knot


def with_knots(folder, knots, mine=(20, 22, 26, 23, 22, 23), theirs=KNOTTY):
    found(folder, mine, theirs)
    head, *rows = (folder / "chops.csv").read_text(encoding="utf-8").splitlines()
    rows = [f"{row},{knots.get(tuple(row.split(',')[0:3:2]), 0)}" for row in rows]
    (folder / "chops.csv").write_text("\n".join([f"{head},knots", *rows]), encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_a_claim_that_rests_on_a_knot_in_one_tool_s_cut_is_told_with_the_answer_without(tmp_path):
    result = with_knots(tmp_path / "a", {("O1", "3"): 1})
    (one,) = told(result, "rests_on_knots")
    assert one.text.startswith(
        "That H1 takes fewer strokes than O1 rests on 1 piece of O1 with a knot in the cut: knots "
        "cost strokes. Without its board: 0."
    )
    assert "and nothing tells the two apart. Chop another" in one.text
    assert (one.where.blade, one.where.other) == ("H1", "O1")
    first = tool_sentences(result, "H1")[0]
    assert first.endswith(" (which rests on knots that the tools did not meet alike).")


def test_a_clear_piece_asked_for_after_a_knot_is_not_asked_for_again(tmp_path):
    mine, theirs = (14, 15, 90, 15, 14, 16), ("27", "29", "33", "30", "28", "30")
    (one,) = told(with_knots(tmp_path / "a", {("H1", "3"): 3}, mine, theirs), "rests_on_knots")
    assert "Chop another piece of that board with each tool" in one.text
    log = tmp_path / "a" / "chops.csv"
    clear = "H1,billet,9,board 3,European ash,12,50,50,15,,0\n"
    log.write_text(f"{log.read_text('utf-8')}\n{clear}", "utf-8")
    (one,) = told(analyse_chops(open_chops(tmp_path / "a")), "rests_on_knots")
    assert "Chop another piece" not in one.text
    assert "Each tool has a clear piece of that board, so nothing more is asked" in one.text
    log.write_text(log.read_text("utf-8").replace("9,board 3", "9,board 2"), "utf-8")
    (one,) = told(analyse_chops(open_chops(tmp_path / "a")), "rests_on_knots")
    assert "Chop another piece of that board with each tool" in one.text


@pytest.mark.parametrize(
    "knots",
    [{}, {("O1", "3"): 1, ("H1", "3"): 2}, {("H1", n): 1 for n in "2346"}],
    ids=["none", "both", "mine"],
)
def test_knots_met_alike_or_that_speak_against_the_claim_are_not_doubted(tmp_path, knots):
    assert told(with_knots(tmp_path / "a", knots), "rests_on_knots") == []


def test_a_knot_that_hides_a_difference_is_told(tmp_path):
    mine, theirs = (14, 15, 45, 15, 14, 16), ("27", "29", "33", "30", "28", "30")
    (one,) = told(with_knots(tmp_path / "a", {("H1", "3"): 3}, mine, theirs), "rests_on_knots")
    assert one.text.startswith("That nothing tells H1 and O1 apart rests on 1 piece of H1 with a")
    assert "and H1 takes fewer strokes than O1." in one.text


SPRUCE = {"H1": (14, 13, 15, 15, 14, 26, 16, 19, 16, 16, 13, 13),
          "O1": (17, 19, 17, 18, 17, 25, 25, 23, 20, 22, 23, 25)}  # fmt: skip
HAZEL = {"H1": ((17, 41), (10, 31), (8, 31), (10, 31), (16, 46), (13, 38), (14, 38)),
         "O1": ((14, 37), (12, 34), (13, 37), (5, 26), (14, 35), (11, 34), (19, 44))}  # fmt: skip


def of_two_woods(folder, knotted=None):
    rows = [
        "blade,kind,order,board,species,moisture_pct,width_mm,thickness_mm,diameter_mm,chops,knots"
    ]
    for n, many in enumerate(SPRUCE["H1"]):
        for blade, count in (("H1", many), ("O1", SPRUCE["O1"][n])):
            count, met = (knotted or {}).get((blade, n), (count, 0))
            rows.append(f"{blade},billet,{n + 1},S{n // 2},Norway spruce,13,45,45,,{count},{met}")
    for n in range(7):
        for blade, poles in HAZEL.items():
            count, thick = poles[n]
            rows.append(f"{blade},billet,{n + 20},P{n},hazel,green,,,{thick},{count},0")
    folder.mkdir()
    study = f'{STUDY}[document]\nheadline_wood = "hazel 31"\n'
    (folder / "study.toml").write_text(study, encoding="utf-8")
    (folder / "chops.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return analyse_chops(open_chops(folder))


def test_that_woods_do_not_differ_is_said_to_rest_on_a_knot_where_they_do_without_it(tmp_path):
    result = of_two_woods(tmp_path / "a", {("H1", 5): (26, 1)})
    (one,) = told(result, "woods_rest_on_knots")
    assert told(result, "rests_on_knots") == []
    assert one.text.startswith(
        "Knots cost strokes, and that the woods differ no more than chance brings rests on 1 "
        "piece of H1 with a knot in the cut. Without it: 0.7"
    )
    assert "(hazel), and no one number holds for all woods. " in one.text
    first, *rest = tool_sentences(result, "H1")
    assert first.endswith("it took fewer than blade O1; in hazel alone this test cannot tell.")
    (by_wood,) = (line for line in rest if "Wood by wood" in line)
    assert by_wood.endswith(
        "the woods cannot be told apart; that rests on knots that the tools did not meet alike."
    )
    assert told(of_two_woods(tmp_path / "b"), "woods_rest_on_knots") == []


def test_that_woods_differ_is_said_to_rest_on_knots_where_they_do_not_without_them(tmp_path):
    result = of_two_woods(tmp_path / "a", {("O1", n): (28, 2) for n in range(5)})
    (one,) = told(result, "woods_rest_on_knots")
    assert one.text.startswith(
        "Knots cost strokes, and that no one number holds for all woods rests on 5 pieces of O1 "
        "with a knot in the cut. Without their boards: 0."
    )
    assert " over all of them, and the woods differ no more than chance brings. " in one.text
    first = tool_sentences(result, "H1")[0]
    assert first.endswith(" (which rests on knots that the tools did not meet alike).")


def test_where_no_one_number_holds_for_all_woods_no_note_prints_one(tmp_path):
    result = of_two_woods(tmp_path / "a", {("H1", 5): (14, 0)})
    assert result.report.counts.by_wood[0].apart
    (note,) = told(result, "underdispersed")
    assert "steady hand. Write the counts" in note.text


def test_a_claim_of_which_knots_leave_nothing_rests_on_them(tmp_path):
    theirs = [str(n) for n in (37, 39, 41, 44, 40, 38)]
    every = {("O1", str(n)): 1 for n in range(1, 7)}
    (one,) = told(with_knots(tmp_path / "a", every, theirs=theirs), "rests_on_knots")
    assert "Without their boards the two cannot be compared, and nothing tells" in one.text
    mixed = {("O1", n): 1 for n in "1234"} | {("H1", n): 1 for n in "56"}
    assert told(with_knots(tmp_path / "b", mixed, theirs=theirs), "rests_on_knots")


def test_a_claim_of_which_boards_given_up_leave_nothing_rests_on_them(tmp_path):
    mine, theirs = (13, 14, ">30", 13, 12, 11), (">60", ">60", "40", ">60", ">60", ">60")
    (one,) = told(found(tmp_path / "a", mine, theirs), "rests_on_given_up")
    assert "rests on 6 pieces that were given up. Without their boards the two" in one.text


def test_no_board_goes_with_a_piece_given_up_where_none_is_named(tmp_path):
    found(tmp_path / "a", theirs=("12", "13", ">30", "12", "11", "10"))
    log = tmp_path / "a" / "chops.csv"
    log.write_text(re.sub(r",board \d,", ",,", log.read_text(encoding="utf-8")), encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path / "a"))
    side = next(line for line in tool_sentences(result, "H1") if line.startswith("Side by side"))
    assert "; without what was given up 1" in side


def touch_up(blade, n):
    return f"{blade},touch-up,{n},,,,,,,"


@pytest.mark.parametrize(
    ("more", "edges"),
    [
        ([touch_up("H1", 3)], "H1 once and O1 never"),
        ([touch_up("H1", 2), touch_up("H1", 4), touch_up("O1", 3)], "H1 2 times and O1 once"),
    ],
)
def test_edges_that_were_not_touched_up_alike_are_told(tmp_path, more, edges):
    theirs = ("27", "29", "33", "24", "30", "28")
    result = found(tmp_path / "a", theirs=theirs, more=more)
    (one,) = told(result, "touched_up_unlike")
    assert f": {edges}." in one.text
    assert tool_sentences(result, "H1")[0].endswith("(their edges were not touched up alike).")


@pytest.mark.parametrize("more", [[], [touch_up("H1", 3), touch_up("O1", 3)], [touch_up("H1", 6)]])
def test_edges_kept_alike_or_touched_up_after_all_pieces_are_not_doubted(tmp_path, more):
    result = found(tmp_path / "a", more=more)
    assert told(result, "touched_up_unlike") == []


def test_three_tools_are_told_to_be_compared_two_at_a_time_and_two_are_not(tmp_path):
    two = found(tmp_path / "a")
    assert told(two, "tools_compared_singly") == []
    third = [f"T1,billet,{n},board {n},European ash,12,50,50,{count}," for n, count in
             enumerate(("12", "15", "18", "12", "12", "14"), 1)]  # fmt: skip
    log = tmp_path / "a" / "chops.csv"
    log.write_text(log.read_text(encoding="utf-8") + "\n".join(third) + "\n", encoding="utf-8")
    study = tmp_path / "a" / "study.toml"
    study.write_text(STUDY.replace('{id = "O1"}', '{id = "O1"}, {id = "T1"}'), encoding="utf-8")
    (one,) = told(analyse_chops(open_chops(tmp_path / "a")), "tools_compared_singly")
    assert one.text.startswith("3 tools are compared two at a time, and each comparison holds by")


@pytest.mark.parametrize(
    ("mine", "theirs", "words"),
    [
        ("abc", "ab", "H1 alone on c"),
        ("abd", "abce", "H1 alone on d and O1 alone on c and e"),
        ("abc", "abc", ""),
        ("ab", "cd", ""),  # no board is shared: nothing stands side by side
        ("ab", ["a", "b", ""], ""),  # of a board that nobody noted nothing is known
    ],
)
def test_boards_of_one_tool_alone_are_named_where_the_two_share_others(mine, theirs, words):
    pieces = [
        SimpleNamespace(blade=blade, board=board)
        for blade, boards in (("H1", mine), ("O1", theirs))
        for board in boards
    ]
    assert pieces_alone(pieces, "H1", "O1") == words


def test_a_piece_with_none_beside_it_is_doubted_and_asked_about_where_the_other_was_left_out(
    tmp_path,
):
    assert told(found(tmp_path / "a"), "alone_on_board") == []
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = [f"{blade},billet,{n},board {n},European ash,12,50,50,{12 + n},,"
            for n in range(1, 4) for blade in ("H1", "O1")]  # fmt: skip
    rows[-1] += "a nail in it"
    log = HEAD.replace("chips_count", "chips_count,exclude") + "\n".join(rows) + "\n"
    (tmp_path / "chops.csv").write_text(log, encoding="utf-8")
    source = open_chops(tmp_path)
    (one,) = told(analyse_chops(source), "alone_on_board")
    assert one.text.startswith("Strokes of H1 over O1: H1 alone on board 3. Such a piece counts")
    asked = [str(each) for each in asked_of_likes("chops.csv", source.chops.rows)]
    assert asked == [
        'chops.csv, row 7, exclude: O1 is left out on "board 3", where H1 (row 6) counts; chop '
        "another piece of that board, if you can; leave out both if the board is to go; if this "
        "cut alone was spoilt, leave it"
    ]
    assert not list(asked_of_likes("chops.csv", source.chops.rows, line=6))


@pytest.mark.parametrize(("birch", "turned"), [(9, True), (8, False)])
def test_a_ratio_that_points_both_ways_wood_by_wood_is_told_as_what_chance_may_bring(
    tmp_path, birch, turned
):
    """Hazel 8 against 10.5 strokes, birch 9 against 7: 'cannot be told apart' hides both."""
    strokes = {"hazel": ((7, 9), (11, 10)), "silver birch": ((birch, birch), (6, 8))}
    rows = [
        f"{blade},billet,{n + 1},{wood} {n},{wood},12,50,50,{count},"
        for wood, counts in strokes.items()
        for blade, own in zip(("H1", "O1"), counts, strict=True)
        for n, count in enumerate(own)
    ]
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    result = analyse_chops(open_chops(tmp_path))
    texts = [one.text for one in told(result, "ratio_turns_by_wood")]
    assert len(texts) == turned
    if turned:
        assert "for one of O1: 0.76 (hazel); 1.3 (silver birch); " in texts[0]


def test_where_the_woods_disagree_what_a_claim_rests_on_is_told_of_its_wood(tmp_path):
    """H1 takes fewer strokes in hazel and more in birch, where a knot alone makes it so."""
    strokes = {"hazel": ((16, 18, 17, 17), (32, 33, 31, 35)),
               "silver birch": ((34, 33, 48, 34, 33, 33), (27, 26, 27, 28, 29, 28))}  # fmt: skip
    rows = [
        f"{blade},billet,{n + 1},{wood} {n},{wood},12,50,50,{count},,{int(count == 48)}"
        for wood, counts in strokes.items()
        for blade, own in zip(("H1", "O1"), counts, strict=True)
        for n, count in enumerate(own)
    ]
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "chops.csv").write_text(
        f"{HEAD.strip()},knots\n" + "\n".join(rows) + "\n", encoding="utf-8"
    )
    result = analyse_chops(open_chops(tmp_path))
    (apart,) = told(result, "ratio_differs_by_wood")
    assert (apart.where.blade, apart.where.other) == ("H1", "O1")
    assert "(hazel); " in apart.text
    (knots,) = told(result, "rests_on_knots")
    assert knots.text.startswith("That H1 takes more strokes than O1 in silver birch rests on 1 ")
    assert told(result, "ratio_turns_by_wood") == []
    assert told(result, "ratio_differs_by_piece") == []
