"""What the bench of a chop test calls out, and what is read of each kind of row."""

from types import SimpleNamespace

import pytest

from edgetest.store.chop_log import ChopRow
from edgetest.study.bench.chop_actions import ChopAction, facts_of, run_of, taken_of, text_of
from edgetest.study.bench.session_file import Session


def row(kind, order=None, **more):
    return ChopRow(7, "H1", kind, order, **more)


@pytest.mark.parametrize(
    ("kind", "of", "facts", "said"),
    [
        ("done", row("billet"), {}, "Every row of the chop test is done."),
        ("strokes", row("billet", 2), {"strokes": 1}, "Blade K7, billet 2: 1 chop"),
        ("strokes", row("lumber"), {"strokes": 5}, "Blade K7, lumber: 5 chops"),
        ("strokes", row("single", 11), {"strokes": 4, "stage": 11},
         "Blade K7, chop to number 11: 7 to go"),
        ("strokes", row("single", 11), {"strokes": 12, "stage": 11},
         "Blade K7, chop to number 11: 0 to go"),
        ("read", row("billet", 2), {}, "Blade K7, look at the edge after billet 2"),
        ("read", row("single", 11), {}, "Blade K7, measure chop 11"),
        ("read", row("inspection", 1), {}, "Blade K7, look at the edge"),
        ("read", row("shave", 1), {}, "Blade K7, shave: pass or fail"),
    ],
)  # fmt: skip
def test_the_next_thing_is_called_out(kind, of, facts, said):
    assert ChopAction(kind, of, "K7", **facts).summary() == said


@pytest.mark.parametrize(
    ("of", "run"),
    [
        (row("billet", 2), "billet 2"),
        (row("billet", 2, block="day 1"), "billet 2 day 1"),
        (row("billet"), "billet row 7"),
        (row("single", 11), "single"),
        (row("inspection", 0), "inspection 0"),
    ],
)
def test_taps_of_a_row_are_kept_under_its_piece(of, run):
    assert run_of(of) == (run, "H1")
    assert ChopAction("read", of).run == (run, "H1")


def protocol(*names):
    return SimpleNamespace(readings=[SimpleNamespace(name=name) for name in names])


@pytest.mark.parametrize(
    ("kind", "readings", "taken"),
    [
        ("billet", ("chips_count",), ("chops", "chips_count")),
        ("lumber", (), ("chops",)),
        ("single", ("chips_count",), ("depth_mm",)),
        ("inspection", (), ("chips_count", "rolls_count")),
        ("bend", (), ("bend_deg", "result")),
        ("shave", (), ("result",)),
    ],
)
def test_what_is_read_of_a_row_goes_by_its_kind(kind, readings, taken):
    assert taken_of(kind, protocol(*readings)) == taken


def facts(of, *before, noted=None):
    source = SimpleNamespace(chops=SimpleNamespace(rows=(*before, of)))
    return facts_of(source, of, Session(facts={run_of(of): noted or {}}))


def test_a_piece_is_taken_to_be_like_the_last_one_of_its_kind():
    like = ChopRow(5, "H2", "lumber", 1, species="ash", nominal="2x4", knots=1, result="pass")
    found = facts(row("lumber", 1), ChopRow(4, "H2", "lumber", 1, species="oak", result="x"), like)
    assert (found["species"], found["nominal"], found["knots"]) == ("ash", "2x4", "")
    other = ChopRow(5, "H2", "billet", 1, species="ash", result="pass")
    assert facts(row("lumber", 1), other)["species"] == ""
    waiting = ChopRow(5, "H2", "lumber", 1, species="ash")
    assert facts(row("lumber", 1), waiting)["species"] == ""


def test_what_was_said_of_the_piece_itself_comes_first():
    like = ChopRow(5, "H2", "lumber", 1, species="ash", nominal="2x4", result="pass")
    own = row("lumber", 1, species="oak", knots=2)
    assert facts(own, like)["species"] == "oak"
    assert facts(own, like)["knots"] == "2"
    assert facts(own, like, noted={"species": "elm"})["species"] == "elm"
    assert facts(own, like, noted={"nominal": ""})["nominal"] == ""
    assert facts(row("shave", 1), like) == {}


@pytest.mark.parametrize(("value", "text"), [(None, ""), (12.50, "12.5"), (3, "3"), ("a", "a")])
def test_a_cell_reads_as_it_is_typed(value, text):
    assert text_of(value) == text
