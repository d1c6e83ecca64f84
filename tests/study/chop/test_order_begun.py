"""What a chop log holds stands in its own order; what is planned beyond it is told and drawn."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.cells import parse_strokes
from edgetest.store.chop_log import ChopRow
from edgetest.study.chop.board_order import usual_boards
from edgetest.study.chop.order_begun import numbered_on, order_under_way, progress_words
from edgetest.study.sources import open_source
from edgetest.study.wear.plan_options import PlanOptions
from edgetest.study.wear.planning import make_plan, usual_blocks
from edgetest.study.wear.saved_plan import save_plan
from edgetest.wear.plan.run_order import Run


def log(*turns):
    """Rows of (board, blade), chopped where they do not end in "?"."""
    rows = [
        ChopRow(line, blade.strip("?"), "billet", board=board,
                chops=None if blade.endswith("?") else parse_strokes("9"))
        for line, (board, blade) in enumerate(turns, 2)
    ]  # fmt: skip
    return SimpleNamespace(rows=rows)


def drawn(*boards):
    return [Run(b, n, blade, "not named") for b in boards for n, blade in enumerate("HC", 1)]


def under_way(of_log, *boards, plan=None, **how):
    of = SimpleNamespace(plan=plan and {"order": [list(turn) for turn in plan]})
    runs, left, by_lot = order_under_way(of, of_log, drawn(*boards), **how)
    return [(r.block, r.blade) for r in runs], [(r.block, r.blade) for r in left], by_lot


DONE = [("a", "C"), ("a", "H"), ("b", "H"), ("b", "C")]


def test_what_was_chopped_stands_as_its_rows_do_and_nothing_is_left():
    assert under_way(log(*DONE), "a", "b") == (DONE, [], False)


def test_only_what_is_open_is_added():
    begun = log(*DONE[:3])
    assert under_way(begun, "a", "b") == (DONE, [("b", "C")], True)
    more = [("c", "H"), ("c", "C")]
    assert under_way(log(*DONE), "c") == ([*DONE, *more], more, True)
    twice = under_way(log(*DONE), "a", "a", "b")
    assert twice[1] == [("a", "H"), ("a", "C")]


def test_rows_that_wait_keep_their_turns():
    begun = log(("a", "C"), ("a", "H"), ("b", "C?"), ("b", "H?"))
    order, left, by_lot = under_way(begun, "a", "b")
    assert (left, by_lot) == ([("b", "C"), ("b", "H")], False)
    assert order[2:] == left


def test_an_order_that_the_study_has_stays_unless_it_is_to_be_drawn_anew():
    plan = [("a", "H"), ("a", "C"), ("b", "C"), ("b", "H")]
    assert under_way(log(*DONE[:2]), "a", "b", plan=plan) == (plan, plan[2:], False)
    assert under_way(log(*DONE), "a", "b", plan=plan, anew=True)[0] == DONE


def test_a_planned_board_that_was_chopped_under_another_name_is_not_left():
    plan = [("stud 1", "H"), ("stud 1", "C"), ("stud 2", "C"), ("stud 2", "H")]
    renamed = log(*DONE[:2], ("stud 2", "C?"), ("stud 2", "H?"))
    assert under_way(renamed, "stud 1", "stud 2", "a", plan=plan)[1] == plan[2:]
    assert under_way(log(*DONE), "stud 1", "stud 2", "a", "b", plan=plan)[1] == []


def test_pieces_of_a_board_that_nobody_noted_stand_for_those_that_would_be_drawn():
    bare = log(("", "H"), ("", "C"))
    assert under_way(bare, "stud 1", "stud 2")[1] == [("stud 2", "H"), ("stud 2", "C")]


def test_how_far_it_is_and_what_is_left_is_said():
    left = [Run("c", 1, "H", ""), Run("c", 2, "C", "")]
    assert progress_words(log(*DONE), left, 20) == (
        "Chopped so far: 4 pieces, 2 with C and 2 with H. To show that difference takes 18 more "
        "with each tool. Left: c with H and C. These have no row in the log yet: `edgetest enter` "
        "adds each as it is chopped."
    )
    waits = log(*DONE, ("c", "H?"))
    assert " Left: c with H and C. 1 of these has no row in" in progress_words(waits, left, 20)
    waits = log(*DONE, ("c", "H?"), ("c", "C?"))
    assert progress_words(waits, left, 20).endswith(" Left: c with H and C.")
    assert progress_words(log(*DONE), (), 2).endswith(
        "2 with H. Nothing of this order is left: name further boards (--blocks) to plan more."
    )
    assert progress_words(log(*DONE), None, 20) == ""


def test_a_row_that_is_left_out_is_no_piece_and_its_turn_is_still_to_come():
    spoilt = log(*DONE)
    spoilt.rows[2] = replace(spoilt.rows[2], exclude="struck a nail")
    assert under_way(spoilt, "a", "b")[1] == [("b", "H")]
    assert "Chopped so far: 3 pieces, 2 with C and 1 with H." in progress_words(spoilt, (), 2)
    told = "To show that difference takes 18 more with C and 19 more with H. "
    assert told in progress_words(spoilt, (), 20)
    assert "takes 1 more with H. " in progress_words(spoilt, (), 2)
    rules = SimpleNamespace(chop_kinds=("billet",), stages=(1,))
    work = replace(log(("", "H")).rows[0], exclude="other work", line=9, board="z")
    spoilt.rows.append(work)
    assert usual_boards(rules, spoilt) == ("a", "b")
    assert numbered_on([["blade", "kind", "order"], ["H", "billet", "1"]], spoilt)[1][2] == "4"


def test_pieces_to_come_are_numbered_on_and_the_look_before_is_not_asked_again():
    records = [["blade", "kind", "order"], ["H", "inspection", "0"], ["H", "billet", "1"],
               ["C", "billet", "1"], ["H", "inspection", "1"]]  # fmt: skip
    assert numbered_on(records, log(*DONE, ("c", "H"))) == [
        records[0], ["H", "billet", "4"], ["C", "billet", "3"], ["H", "inspection", "1"],
    ]  # fmt: skip


STUDY = """title = "hazel"
protocol = "billet_chop"
[[blades]]
id = "H"
[[blades]]
id = "C"
"""
HEADING = "blade,kind,order,chops,diameter_mm,species,moisture_pct,board\n"


@pytest.fixture
def source(tmp_path):
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    rows = [f"{blade},billet,{'ab'.index(b) + 1},9,42,hazel,green,{b}\n" for b, blade in DONE]
    (tmp_path / "chops.csv").write_text(HEADING + "".join(rows), encoding="utf-8")
    return open_source(tmp_path)


def test_a_plan_of_a_begun_log_keeps_its_turns_and_further_boards_are_added_to_it(source):
    done = [list(turn) for turn in DONE]
    made = make_plan(source)
    assert (made.left, made.seed, len(made.need.curve.blades) > 0) == ((), None, True)
    assert made.need.planned == 2
    save_plan(source, made)
    source = open_source(source.path)
    assert source.study.plan == {"order": done}
    longer = make_plan(source, PlanOptions(blocks=("c",), seed=3))
    assert (longer.need.planned, longer.seed) == (3, 3)
    assert "Left: c with" in longer.summary()
    assert [run["block"] for run in longer.to_dict()["left"]] == ["c", "c"]
    save_plan(source, longer)
    source = open_source(source.path)
    assert source.study.plan["order"][:4] == done
    assert make_plan(source, PlanOptions(blocks=("c", "d"))).seed == 3  # as typed before
    assert make_plan(source, PlanOptions(blocks=("c", "d"), seed=1)).seed == 1
    assert usual_blocks(source) == ("a", "b", "c")
    other = [Run(b, 1, blade, "") for b, blade in reversed(DONE)]
    with pytest.raises(UnusableInput, match="this is another one"):
        save_plan(source, SimpleNamespace(runs=other, seed=1))
