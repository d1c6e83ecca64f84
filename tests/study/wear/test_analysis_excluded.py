"""What is excluded, or only a bound, moves no number that it must not move."""

import numpy as np
import pytest

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.wear_answer import comparison_of, curves_of
from tests.study.wear.logs_of_wedges import log_of, wedge_log

LIVES = {("A", "a1"): 300, ("A", "a2"): 360, ("B", "b1"): 500, ("B", "b2"): 430}
SLIPPED = "a1,A,240,480,slipped off the stone"


def found_in(folder, text, **options):
    folder.mkdir(exist_ok=True)
    return comparison_of(open_source(log_of(folder, text)), AnalysisOptions(**options))


def with_reasons(log):
    """The same log with an empty column for the reasons."""
    heading, *rows = log.splitlines()
    return [f"{heading},exclude", *(f"{row}," for row in rows)]


def numbers(found):
    lives = {curve.blade: curve.life.cuts for curve in found.fit.blades}
    return lives, (found.ratio.estimate, found.ratio.low, found.ratio.high)


def test_a_wild_row_that_is_excluded_gives_the_answer_of_the_log_without_it(tmp_path):
    rows = with_reasons(wedge_log(LIVES, {"A": 2.0, "B": 2.0}))
    without = found_in(tmp_path / "without", "\n".join(rows), limit=12.0)
    excluded = found_in(tmp_path / "excluded", "\n".join([*rows, SLIPPED]), limit=12.0)
    counted = found_in(tmp_path / "counted", "\n".join([*rows, "a1,A,240,480,"]), limit=12.0)
    assert numbers(excluded) == numbers(without)
    assert numbers(counted)[0]["a1"] < 0.7 * numbers(without)[0]["a1"]
    assert without.fit.blades[0].life.cuts == pytest.approx(300, rel=0.1)


def test_noted_lives_that_are_excluded_count_for_nothing(tmp_path):
    rows = ["blade,heat_treatment,life,exclude", "a1,A,300,", "a2,A,360,", "b1,B,500,", "b2,B,430,"]
    without = found_in(tmp_path / "without", "\n".join(rows))
    excluded = found_in(tmp_path / "excluded", "\n".join([*rows, "b3,B,9000,cut paper with it"]))
    assert without.ratio.estimate == pytest.approx((500 * 430 / (300 * 360)) ** 0.5)
    assert excluded.comparison == without.comparison


def test_a_life_noted_as_more_than_is_a_bound_and_no_life(tmp_path):
    rows = ["blade,heat_treatment,life", "a1,A,300", "a2,A,360", "b1,B,500"]
    known = found_in(tmp_path / "known", "\n".join([*rows, "b2,B,430"]))
    bound = found_in(tmp_path / "bound", "\n".join([*rows, "b2,B,>430"]))
    least = found_in(tmp_path / "least", "\n".join([*rows, "b2,B,<430"]))
    ends = [
        next((life.low, life.high) for life in found.fit.blades if life.blade == "b2")
        for found in (known, bound, least)
    ]
    assert ends == [(430, 430), (430, np.inf), (0, 430)]
    assert bound.ratio.estimate > known.ratio.estimate > least.ratio.estimate
    assert bound.ratio.high > 1.5 * known.ratio.high


def test_a_reading_beyond_the_scale_is_a_bound_and_no_value(tmp_path):
    """A width over the scale's 12 µm may be any larger one: the blade dulled no later."""
    log = wedge_log({**LIVES, ("A", "a1"): 80}, {"A": 2.0, "B": 2.0}, cv=0.0).splitlines()
    beyond = [
        ",".join([*row.split(",")[:3], ">12"])
        if row.startswith("a1") and float(row.split(",")[3]) > 12
        else row
        for row in log
    ]
    assert sum(">12" in row for row in beyond) == 2
    texts = {"known": "\n".join(log), "bound": "\n".join(beyond)}
    texts["taken"] = texts["bound"].replace(">12", "12")
    lives = []
    for name, text in texts.items():
        log = open_source(log_of(tmp_path, text, f"{name}.csv"))
        found = curves_of(log, AnalysisOptions(limit=12.0))
        lives.append({curve.blade: curve.life.cuts for curve in found.fit.blades}["a1"])
    assert lives[0] == pytest.approx(80, rel=0.01)
    assert lives[1] == pytest.approx(80, rel=0.1)
    assert lives[2] > 100
