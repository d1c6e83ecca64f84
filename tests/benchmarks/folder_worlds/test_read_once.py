"""The world of edges read once a stage against its own files, and its judge against plants."""

import copy
import csv
import tomllib
from math import exp, inf, log
from statistics import fmean

import numpy as np
import pytest

from tests.benchmarks.folder_worlds.edge_widening import KINDS, drawn_law, risen, wear_at
from tests.benchmarks.folder_worlds.held_shares import answer
from tests.benchmarks.folder_worlds.judge_read_once import life_marks, ratio_marks, true_cuts
from tests.benchmarks.folder_worlds.read_once_folder import write_read_once

SEEDS = (1, 4, 10)  # each blade on both rolls; one roll; half on each, one beyond the last stage


@pytest.fixture(scope="module", params=SEEDS)
def study(request, tmp_path_factory):
    folder, truth = write_read_once(request.param, tmp_path_factory.mktemp("read_once"))
    rows = list(csv.DictReader((folder / "log.csv").read_text("utf-8").splitlines()))
    return folder, truth, rows


@pytest.fixture(scope="module")
def told(study):
    words = (str(study[0]), "--workers", "1")
    return tuple(answer(verb, *words) for verb in ("compare", "fit"))


def runs_of(truth):
    return [
        (name, roll, run)
        for name, blade in truth["blades"].items()
        for roll, run in blade["runs"].items()
    ]


@pytest.mark.parametrize("kind", KINDS)
def test_the_wear_at_a_width_is_where_the_law_reaches_it(kind):
    rng = np.random.default_rng(3)
    law = next(law for law in (drawn_law(rng) for _ in range(100)) if law["kind"] == kind)
    for u in (0.01, 0.4, 3.0):
        assert wear_at(law, 1.0 + risen(law, u, 1.2), 1.0, 1.2) == pytest.approx(u)
    early, late = (risen(law, end) - risen(law, start) for start, end in ((0, 0.5), (0.5, 1)))
    assert early > late > 0


def test_the_stages_that_hold_a_life_have_the_limit_between_their_true_widths(study):
    _, truth, _ = study
    stages, limit_um = truth["stages"], truth["limit_um"]
    for _, _, run in runs_of(truth):
        width = run["true_width_um"]
        assert (np.diff(width) > 0).all()
        if run["bracket"] == "beyond":
            assert width[-1] < limit_um + 0.001
            assert run["cuts_to_limit"] is None or run["cuts_to_limit"] > stages[-1]
            continue
        low, high = run["bracket"]
        assert low <= run["cuts_to_limit"] <= high
        assert width[stages.index(low)] - 0.001 < limit_um < width[stages.index(high)] + 0.001


def test_the_lives_of_blades_and_their_ratio_follow_from_the_runs(study):
    _, truth, _ = study
    mean = {}
    for name, blade in truth["blades"].items():
        lives = [log(run["cuts_to_limit"]) for run in blade["runs"].values()]
        assert blade["cuts_to_limit"] == pytest.approx(exp(fmean(lives)), rel=1e-4)
        mean.setdefault(name[0], []).append(fmean(lives))
    ratio = exp(fmean(mean["B"]) - fmean(mean["A"]))
    assert truth["ratio_sample"] == pytest.approx(ratio, abs=0.001)
    median = truth["median_life"]
    assert truth["ratio_median_lives"] == pytest.approx(median["B"] / median["A"], rel=1e-3)


def test_the_log_holds_one_reading_of_each_run_at_each_stage(study):
    folder, truth, rows = study
    limit = tomllib.loads((folder / "study.toml").read_text(encoding="utf-8"))["limit"]
    assert limit == truth["limit_um"]
    held = [(row["blade"], row["block"], int(row["cuts"])) for row in rows]
    wanted = [(name, roll, cuts) for name, roll, _ in runs_of(truth) for cuts in truth["stages"]]
    assert sorted(held) == sorted(wanted)


def test_what_is_read_scatters_about_the_true_width_as_it_says(study):
    _, truth, rows = study
    slips = {tuple(slip[:3]) for slip in truth["slips"]}
    of_stage = dict(zip(truth["stages"], range(len(truth["stages"])), strict=True))
    off = []
    for row in rows:
        place = (row["blade"], row["block"], int(row["cuts"]))
        run = truth["blades"][row["blade"]]["runs"][row["block"]]
        true = run["true_width_um"][of_stage[place[2]]]
        if place not in slips and true > 5:  # rounding to 0.5 µm is small there
            off.append(log(float(row["edge_width_um"]) / true))
    sd = np.hypot(truth["sd_reading_pct"], truth["sd_day_shift_pct"]) / 100
    assert np.std(off) == pytest.approx(sd, rel=0.35)  # some 30 readings
    assert np.mean(off) == pytest.approx(log(truth["scale_error"]), abs=0.05)


def test_each_run_has_its_life_and_the_treatments_their_ratio(study, told):
    _, truth, _ = study
    compared, fits = told
    assert compared["ratio"]["low"] > 0
    assert len(fits) == len(runs_of(truth))
    assert all(true_cuts(truth, fit["blade"]) > 0 for fit in fits)
    assert len({true_cuts(truth, fit["blade"]) for fit in fits}) == len(fits)


def with_ratio(compared, first, ratio):
    """An answer whose ratio, of the second over the first, lies about this."""
    new = copy.deepcopy(compared)
    new["first"], new["second"] = first, "AB".replace(first, "")
    new["ratio"] |= {"estimate": ratio, "low": ratio / 1.01, "high": ratio * 1.01}
    return new


def test_the_judge_marks_a_planted_wrong_ratio_as_missed(study, told):
    true = study[1]["ratio_median_lives"]
    for first, ratio in (("A", true), ("B", 1 / true)):
        for off, held in ((1.0, True), (1.03, False), (1 / 1.03, False)):
            marks = ratio_marks(study[1], with_ratio(told[0], first, ratio * off))
            assert marks["ratio"] == [held]


def test_one_is_rightly_said_to_last_longer_only_where_it_does(told):
    for true, said, right in ((1.5, 1.2, True), (1.5, 0.8, False), (1.0, 0.8, False)):
        truth = {"ratio_median_lives": true}
        marks = ratio_marks(truth, with_ratio(told[0], "A", said))
        assert (marks["said"], marks["right"]) == ([True], [right])
    marks = ratio_marks(truth, with_ratio(told[0], "A", 1.005))
    assert (marks["said"], marks["right"]) == ([False], [])


def test_the_judge_marks_planted_wrong_lives_as_missed(study, told):
    _, truth, _ = study
    for off, held in ((1.0, True), (1.03, False), (1 / 1.03, False)):
        planted = copy.deepcopy(told[1])
        for one in planted:
            cuts = true_cuts(truth, one["blade"]) * off
            one["life"] |= {"cuts": cuts, "low": cuts / 1.01, "high": cuts * 1.01}
        marks = life_marks(truth, planted)
        assert marks["inside"] + marks["beyond"] == [held] * len(planted)
        for one in planted:
            one["life"] |= {"low": 0.1, "high": None, "censored": True}
        assert life_marks(truth, planted)["beyond"] == [True] * len(planted)


def test_what_is_not_answered_is_missed(study):
    _, truth, _ = study
    assert ratio_marks(truth, None)["ratio"] == [False]
    assert life_marks(truth, None)["inside"] == [False] * len(runs_of(truth))
    assert true_cuts({"blades": {"A1": {"cuts_to_limit": None}}}, "A1") == inf
