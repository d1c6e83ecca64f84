"""Keen in the picture and dull in the hand: both sides of each limit, from single readings."""

from math import nan
from types import SimpleNamespace

import pytest

from edgetest.study.wear import picture_or_hand as module
from edgetest.study.wear.picture_or_hand import NOTHING_AGAINST, pictures_against_hand


def picture(cuts, width, *, upper=nan, run="A", line=None, source="photograph", excluded=False):
    return SimpleNamespace(cuts=cuts, value=width, upper=upper, run=run, source=source,
                           excluded=excluded, line=cuts if line is None else line)  # fmt: skip


def row(cuts, *, blade="A", exclude="", **readings):
    cells = {name: SimpleNamespace(value=value, rank=value) for name, value in readings.items()}
    return SimpleNamespace(blade=blade, block="", cuts=cuts, exclude=exclude, readings=cells)


@pytest.fixture
def against(monkeypatch):
    """Grades 0 (sharpest) to 3, by a column that is no force."""
    monkeypatch.setattr(module, "gives_lives", lambda _, name: name != "edge_width_um")
    monkeypatch.setattr(module, "ladder_of", lambda *_: ("a", "b", "c", "d"))

    def of(pictures, rows):
        names = list(dict.fromkeys(name for one in rows for name in one.readings))
        log = SimpleNamespace(reading_names=names, rows=rows)
        runs = {(one.blade, ""): one.blade for one in rows}
        return pictures_against_hand(SimpleNamespace(log=log), pictures, runs)

    return of


FRESH = picture(0, 2.0)


@pytest.mark.parametrize(
    ("force", "width", "stages"),
    [
        (200.0, 3.0, (("A", 50),)),  # twice the force, half again the width
        (199.9, 3.0, ()),
        (200.0, 3.01, ()),
        (400.0, 2.0, (("A", 50),)),
    ],
)
def test_a_force_that_doubled_over_a_line_as_narrow_as_fresh(against, force, width, stages):
    rows = [row(0, sever_force_gf=100.0), row(50, sever_force_gf=force)]
    found = against([FRESH, picture(50, width)], rows)
    assert found.stages == stages
    assert found.rows == tuple(cuts for _, cuts in stages)


@pytest.mark.parametrize(
    ("fresh", "grade", "dull"), [(0, 2, True), (0, 1, False), (2, 2, False), (2, 3, True)]
)
def test_a_grade_in_the_lower_half_of_the_ladder_and_duller_than_fresh(against, fresh, grade, dull):
    rows = [row(0, grade=fresh), row(50, grade=grade)]
    assert bool(against([FRESH, picture(50, 2.0)], rows).stages) is dull


def test_of_six_grades_the_lower_three_are_dull(against, monkeypatch):
    monkeypatch.setattr(module, "ladder_of", lambda *_: tuple("abcdef"))
    for grade, dull in ((3, True), (2, False)):
        rows = [row(0, grade=0), row(50, grade=grade)]
        assert bool(against([FRESH, picture(50, 2.0)], rows).stages) is dull


def test_without_a_fresh_grade_the_middle_of_the_ladder_holds(against):
    assert against([FRESH, picture(50, 2.0)], [row(50, grade=2)]).stages == (("A", 50),)
    assert against([FRESH, picture(50, 2.0)], [row(50, grade=1)]).stages == ()


def test_a_line_too_narrow_to_be_resolved_is_keen(against):
    rows = [row(0, grade=0), row(50, grade=3)]
    narrow = [picture(50, nan, upper=9.0, line=5), picture(50, nan, upper=9.0, line=6)]
    assert against([FRESH, *narrow], rows).rows == (5, 6)
    wide = [narrow[0], picture(50, 9.0, line=6)]
    assert against([FRESH, *wide], rows).stages == ()
    assert against([picture(50, nan, upper=1.0)], rows).stages == (("A", 50),)


def test_the_fresh_stage_itself_is_never_against_the_hand(against):
    assert against([FRESH], [row(0, grade=3)]) == NOTHING_AGAINST
    assert against([FRESH], [row(0, sever_force_gf=1.0)]) == NOTHING_AGAINST


@pytest.mark.parametrize(
    "odd", [picture(50, 2.0, source="log"), picture(50, 2.0, excluded=True), picture(60, 2.0)]
)
def test_only_photographs_that_count_at_that_stage_are_asked(against, odd):
    assert against([FRESH, odd], [row(0, grade=0), row(50, grade=3)]) == NOTHING_AGAINST


def test_a_row_set_aside_says_nothing_in_the_hand(against):
    rows = [row(0, grade=0), row(50, grade=3, exclude="slip")]
    assert against([FRESH, picture(50, 2.0)], rows) == NOTHING_AGAINST
    assert against([], [row(0, grade=0), row(50, grade=3)]) == NOTHING_AGAINST


def test_the_middle_of_several_readings_counts(against):
    rows = [row(0, sever_force_gf=100.0), *(row(50, sever_force_gf=f) for f in (100, 210, 220))]
    wide = [picture(50, w, line=n) for n, w in enumerate((2.0, 2.9, 9.0))]
    assert against([FRESH, *wide], rows).rows == (0, 1, 2)


def test_a_run_without_a_fresh_reading_is_held_against_the_others(against):
    rows = [row(0, blade="B", sever_force_gf=100.0), row(0, blade="C", sever_force_gf=300.0),
            row(50, sever_force_gf=400.0), row(60, sever_force_gf=399.0)]  # fmt: skip
    lines = [picture(0, 1.0, run="B"), picture(0, 3.0, run="C"), picture(50, 3.0),
             picture(60, 3.0)]  # fmt: skip
    assert against(lines, rows).stages == (("A", 50),)


def test_stages_are_told_by_their_runs_and_no_more_than_six(against):
    rows = [row(0, grade=0, sever_force_gf=1.0), row(50, grade=3, sever_force_gf=2.0)]
    (told,) = against([FRESH, picture(50, 2.0)], rows).doubts
    assert "the grade and the force" in told.text
    assert "A at 50 cuts" in told.text
    many = [row(0, grade=0), *(row(n, grade=3) for n in range(1, 9))]
    (told,) = against([FRESH, *(picture(n, 2.0) for n in range(1, 9))], many).doubts
    assert "A at 1 and 2 and 3 and 4 and 5 and 6 cuts and 2 more" in told.text
    six = [row(0, grade=0), *(row(n, grade=3) for n in range(1, 7))]
    (told,) = against([FRESH, *(picture(n, 2.0) for n in range(1, 7))], six).doubts
    assert "more" not in told.text.split("A at 1")[1].split(".")[0]
    passed = [row(0, pass_fail=0), row(50, pass_fail=3)]
    (told,) = against([FRESH, picture(50, 2.0)], passed).doubts
    assert "the pass or fail" in told.text
