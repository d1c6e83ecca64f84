"""The world of two choppers against its own files, and its judge against planted answers."""

import copy
import csv
from itertools import accumulate

import numpy as np
import pytest

from tests.benchmarks.folder_worlds.dulling_shapes import SHAPES, slope, strokes_needed
from tests.benchmarks.folder_worlds.held_shares import answer
from tests.benchmarks.folder_worlds.judge_two_tools import case_of, marked_chop, ratio_told
from tests.benchmarks.folder_worlds.two_tools_drawn import TOOLS
from tests.benchmarks.folder_worlds.two_tools_folder import write_two_tools

DULL = {"a": set(), "b": set(TOOLS), "c": {"C1"}, "d": {"T1"}}
SEEDS = (1, 2, 3, 11)  # both dull, neither, T1 alone, C1 alone


@pytest.fixture(scope="module", params=SEEDS)
def study(request, tmp_path_factory):
    folder, truth = write_two_tools(request.param, tmp_path_factory.mktemp("two_tools"))
    rows = list(csv.DictReader((folder / "chops.csv").read_text("utf-8").splitlines()))
    return folder, truth, rows


@pytest.fixture(scope="module")
def told(study):
    return answer("chop", str(study[0]))


@pytest.mark.parametrize("shape", SHAPES)
def test_each_shape_rises_by_the_rate_over_the_run(shape):
    needed = strokes_needed(shape, 0.4, 200.0, {"s0_share": 0.3, "nick_share": 0.5})
    at = needed(np.array([0.0, 60.0, 150.0, 200.0]))
    assert at[[0, -1]] == pytest.approx([1.0, 1.4])
    assert (np.diff(at) > 0).all()


def test_each_case_is_met(tmp_path):
    cases = {write_two_tools(seed, tmp_path)[1]["case"] for seed in SEEDS}
    assert cases == set(DULL)


def test_the_truth_of_each_tool_follows_from_the_log(study):
    _, truth, rows = study
    for tool in TOOLS:
        known = truth["tools"][tool]
        strokes = [int(row["chops"]) for row in rows if row["blade"] == tool]
        assert known["chops"] == strokes
        assert known["strokes_total"] == sum(strokes)
        middles = [end - own / 2 for end, own in zip(accumulate(strokes), strokes, strict=True)]
        assert known["s"] == middles
        per_100 = 100 * np.expm1(100 * slope(middles, np.log(known["G"])))
        assert known["change_per_100_pct"] == pytest.approx(per_100, abs=0.05)  # G has 4 digits
        assert min(strokes) >= 5
        assert max(strokes) <= 60
    mean = {tool: np.mean(truth["tools"][tool]["G"]) for tool in TOOLS}
    assert truth["ratio_as_chopped"] == pytest.approx(
        truth["ratio_fresh"] * mean["T1"] / mean["C1"]
    )


def test_a_tiring_hand_makes_the_strokes_grow_and_has_rows_of_its_own(study):
    _, truth, _ = study
    tires = truth["session_tiring_pct"] > 0
    assert case_of(truth).endswith("the hand tires") == tires
    for known in truth["tools"].values():
        assert (known["change_apparent_pct"] > known["change_per_100_pct"]) == tires


def test_the_tools_that_dull_are_those_of_the_case(study):
    _, truth, _ = study
    for tool in TOOLS:
        known, dulls = truth["tools"][tool], tool in DULL[truth["case"]]
        assert known["dulls"] == dulls
        assert (max(known["G"]) > 1) == dulls
        assert (known["change_per_100_pct"] > 0) == dulls


def test_the_tools_share_every_board_evenly(study):
    _, truth, rows = study
    boards = [[row["board"] for row in rows if row["blade"] == tool] for tool in TOOLS]
    assert sorted(boards[0]) == sorted(boards[1])
    assert len(set(boards[0])) == truth["boards"]


def test_each_tool_has_an_answer(told):
    assert {one["blade"] for one in told["counts"]["dulling_by_tool"]} == set(TOOLS)
    assert ratio_told(told["counts"])["low"] > 0


def planted(told, ratio=1.0, change=0.0):
    """An answer with its intervals about these values, the ratio as T1 over C1."""
    new = copy.deepcopy(told)
    counts = new["counts"]
    about = {"value": change, "low": change - 0.1, "high": change + 0.1}
    for one in counts["dulling_by_tool"]:
        one["pct_per_100_chops"] = about
    counts["dulling_pct_per_100_chops"] = about
    span = {"value": ratio, "low": ratio / 1.01, "high": ratio * 1.01}
    counts["ratios"] = [{"first": "T1", "second": "C1", "ratio": span}]
    return new


def test_the_judge_marks_a_planted_wrong_interval_as_missed(study, told):
    _, truth, _ = study
    true = truth["ratio_as_chopped"]
    assert marked_chop(truth, planted(told, ratio=true))["ratio"] == [True]
    assert marked_chop(truth, planted(told, ratio=true * 1.03))["ratio"] == [False]
    for k, tool in enumerate(TOOLS):
        change = truth["tools"][tool]["change_per_100_pct"]
        right, wrong = (
            marked_chop(truth, planted(told, change=change + off)) for off in (0.05, 0.3)
        )
        assert right["own"][k]
        assert right["every"][k]
        assert not wrong["own"][k]
        assert not wrong["every"][k]


def test_the_judge_reads_a_ratio_either_way_round(study, told):
    _, truth, _ = study
    turned = planted(told, ratio=1 / truth["ratio_as_chopped"])
    (one,) = turned["counts"]["ratios"]
    assert marked_chop(truth, turned)["ratio"] == [False]
    one["first"], one["second"] = "C1", "T1"
    assert marked_chop(truth, turned)["ratio"] == [True]


def test_the_judge_counts_who_is_said_to_dull(study, told):
    _, truth, _ = study
    said, unsaid = (marked_chop(truth, planted(told, change=each)) for each in (0.2, 0.05))
    dull = len(DULL[truth["case"]])
    assert said["dull"] == [True] * dull
    assert said["sharp"] == [True] * (len(TOOLS) - dull)
    assert not any(unsaid["dull"] + unsaid["sharp"])


def test_what_is_not_answered_counts_as_missed(study):
    marks = marked_chop(study[1], None)
    assert not any(marks["ratio"] + marks["own"] + marks["dull"] + marks["unlike"])
    assert len(marks["own"]) == len(TOOLS)
