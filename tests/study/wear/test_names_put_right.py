"""Names that look swapped are put right: in the log of a user, and as the rule alone."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import Where, doubt
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.names_put_right import names_put_right
from edgetest.wear.curve.stage_cells import wear_readings
from tests.study.wear.logs_of_wedges import log_of, wedge_log

GIVEN = SimpleNamespace(verdict="longer", summary=lambda: "longer")
WORDS = {"blade": "A1", "other": "B1", "there": ""}
SLIP = doubt("names_swapped", at="At 50 cuts", **WORDS,
             where=Where(blade="A1", other="B1", stage=50.0))  # fmt: skip


def curves_of(*doubts, verdict="longer"):
    asked = []

    def finding(given, columns):
        asked.append(columns.blade.tolist())
        return SimpleNamespace(verdict=verdict, summary=lambda: verdict)

    columns = wear_readings(
        ["A1", "A1", "B1", "B1", "C1"], [20, 50, 20, 50, 50], [1.0, 2.0, 3.0, 4.0, 5.0]
    )
    fit = SimpleNamespace(doubts=doubts)
    return SimpleNamespace(fit=fit, columns=columns, finding=finding), asked


def test_without_such_a_doubt_nothing_is_tried():
    curves, asked = curves_of(doubt("stages_scatter"))
    assert names_put_right(curves, GIVEN) == ([], [])
    assert asked == []


def test_the_names_of_that_stage_alone_are_exchanged():
    curves, asked = curves_of(SLIP)
    assert names_put_right(curves, GIVEN) == ([], [SLIP])
    assert asked == [["A1", "B1", "B1", "A1", "C1"]]
    assert curves.columns.blade.tolist() == ["A1", "A1", "B1", "B1", "C1"]


def test_another_verdict_stands_beside_the_answer():
    curves, _ = curves_of(SLIP, verdict="cannot_tell")
    (found,), told = names_put_right(curves, GIVEN)
    assert (told, found.with_it, found.without) == ([], "As logged", "With the names swapped")
    assert found.told().gravity == "decides"


def test_over_several_stages_the_names_are_exchanged_there_and_at_all_others():
    where = Where(blade="A1", other="B1", stage=20.0, last_stage=30.0)
    run = doubt("names_swapped", at="From 20 to 30 cuts", **WORDS, where=where)
    curves, asked = curves_of(run)
    assert names_put_right(curves, GIVEN) == ([], [run])
    assert asked == [["B1", "A1", "A1", "B1", "C1"], ["A1", "B1", "B1", "A1", "C1"]]
    (found,), _ = names_put_right(curves_of(run, verdict="shorter")[0], GIVEN)
    assert found.without == "With the names swapped there"


def test_a_swap_in_a_log_takes_the_claim_away_until_the_names_are_put_right(tmp_path):
    lives = {("soft", f"A{i}"): 100.0 + 4 * i for i in range(3)}
    lives |= {("hard", f"B{i}"): 120.0 + 6 * i for i in range(3)}
    sound = wedge_log(lives, {"soft": 2.4, "hard": 2.4})
    lines = sound.splitlines()
    these = ("A0,soft,100,", "B0,hard,100,")
    first, second = (n for n, line in enumerate(lines) if line.startswith(these))
    (one, width), (two, other_width) = (lines[n].rsplit(",", 1) for n in (first, second))
    lines[first], lines[second] = f"{one},{other_width}", f"{two},{width}"
    told, right = (
        analyse(open_source(log_of(tmp_path, text, name)), AnalysisOptions(limit=12))
        for text, name in (("\n".join(lines), "slip.csv"), (sound, "sound.csv"))
    )
    (about,) = [one for one in told.doubts if one.code == "names_swapped"]
    assert {about.where.blade, about.where.other, about.where.stage} == {"A0", "B0", 100.0}
    assert "names_swapped" not in [one.code for one in right.doubts]
    assert right.comparison.practical.verdict == "longer"
    other = [one for one in told.compared.alternatives if one.what == "two names"]
    assert [one.verdict for one in other] == ["longer"]
    assert other[0].ratio.estimate == pytest.approx(right.comparison.ratio.estimate, rel=1e-9)


def test_a_swap_from_one_stage_to_another_is_told_with_both_ends(tmp_path):
    lives = {("soft", f"A{i}"): 100.0 + 4 * i for i in range(3)}
    lives |= {("hard", f"B{i}"): 150.0 + 6 * i for i in range(3)}
    stages = (0, 10, 20, 40, 60, 80, 120, 160)
    rng = np.random.default_rng(1)
    lines = wedge_log(lives, {"soft": 2.4, "hard": 2.4}, stages=stages, rng=rng).splitlines()
    for cuts in (40, 60, 80):
        first, second = (n for n, line in enumerate(lines)
                         if line.startswith((f"A0,soft,{cuts},", f"B0,hard,{cuts},")))  # fmt: skip
        (one, width), (two, other) = (lines[n].rsplit(",", 1) for n in (first, second))
        lines[first], lines[second] = f"{one},{other}", f"{two},{width}"
    log = log_of(tmp_path, "\n".join(lines) + "\n")
    doubts = analyse(open_source(log), AnalysisOptions(limit=12)).doubts
    (about,) = [one for one in doubts if one.code == "names_swapped"]
    assert (about.where.stage, about.where.last_stage) == (40.0, 80.0)
    assert about.text.startswith("From 40 to 80 cuts A0 and B0 each read")
    assert "there or at all other stages?" in about.text
