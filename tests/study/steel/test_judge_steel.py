"""An unknown steel from its evidence to the verdict, held against the sample run's truth."""

import json
import re
import shutil
import sys
from math import log

import pytest
from scipy.stats import norm

from edgetest.doubts import codes
from edgetest.steel.martensite import carbon_for_hardness
from edgetest.store.places import shipped
from edgetest.study.steel.evidence_edit import (
    add_row,
)
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import PIECE, make_study


@pytest.fixture(scope="module")
def discs(tmp_path_factory):
    folder = tmp_path_factory.mktemp("run") / "plough_disc_study"
    shutil.copytree(shipped("sample_runs") / "plough_disc_study", folder)
    truth = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
    return judge_steel(folder, workers=1), truth


# ---- the sample run against its truth ------------------------------------------------------


def test_verdict_of_the_sample_run_is_the_one_its_truth_calls_for(discs):
    result, truth = discs
    ratio, edge = truth["ratio_to_reference"], truth["sections"]["edge"]
    hard = truth["blades_hrc"]["K1"]["true_hrc"]
    least = carbon_for_hardness(58)
    fit = ratio["K1"] >= 0.8 and 57 <= hard <= 62 and edge["least_carbon_pct"] >= least
    assert fit  # the truth itself calls for reuse of the carburised steel
    assert ratio["U1"] < 0.5  # and against the steel as it is, even for light work
    assert (result.answer, result.best.route, result.best.piece) == (
        "reuse", "carburised", "disc A",
    )  # fmt: skip
    verdicts = {route.route: route.verdict.verdict for route in result.routes}
    assert verdicts == {"as it is": "do_not_reuse", "carburised": "reuse"}
    assert result.best.scope == "piece"  # one disc was forged: nothing is claimed of the lot


def test_life_ratios_hold_the_truth(discs):
    result, truth = discs
    ratios = {r.blades[0]: r for route in result.routes for r in route.lives}
    assert set(ratios) == {"K1", "U1"}
    for blade, found in ratios.items():
        true = truth["ratio_to_reference"][blade]
        assert found.comparison.ratio.low < true < found.comparison.ratio.high
        assert found.comparison.scope == "blades"
        assert not found.evidence.between_blades_in_se
        half = (log(found.comparison.ratio.high) - log(found.comparison.ratio.low)) / 2
        assert found.evidence.se == pytest.approx(half / norm.ppf(0.975), rel=1e-6)


def test_core_case_and_grind_hold_the_truth(discs):
    result, truth = discs
    core, u, whence = result.core
    assert whence == "core_from_quench"
    assert abs(core - truth["carbon_pct"]["disc A"]) < 2 * u
    for name, case in result.cases:
        true = truth["sections"][name if name == "edge" else "ground after the pack"]
        assert case.face_carbon_pct.low < true["face_carbon_pct"] < case.face_carbon_pct.high
        assert case.edge_carbon_pct.low < true["least_carbon_pct"] < case.edge_carbon_pct.high
        assert case.case_depth_mm.low <= true["depth_to_0.44_pct_mm"] <= case.case_depth_mm.high
    edge, plunge = (case for _, case in result.cases)
    assert edge.probability_edge_hard > 0.95
    assert plunge.probability_faces_hard < 0.05
    assert "ground_to_core" in codes(plunge.doubts)


def test_photographs_agree_with_the_widths_they_were_made_from(discs):
    result, truth = discs
    assert len(result.analysis.photos) == len(truth["photos"]) == 8
    for photo in result.analysis.photos:
        width = photo.numbers["width_um"]
        true = truth["photos"][photo.photo]["width_um"]
        assert abs(width["mean"] - true) < 0.04 * true + 0.15  # scale 1 % and the land's own spread


def test_hardness_in_the_study_is_what_the_truth_was_read_as(discs):
    result, truth = discs
    for blade in result.study.blades:
        assert list(blade.hardness_hrc) == truth["blades_hrc"][blade.id]["read_hrc"]
    water = next(r for r in result.evidence.quenched if r.hardness == (45.9, 46.1))
    assert list(water.hardness) == truth["coupons"]["disc A, water"]["read_hrc"]


def flat(tree, path=()):
    """Numbers and words of a JSON document by their path."""
    if isinstance(tree, dict | list):
        members = tree.items() if isinstance(tree, dict) else enumerate(tree)
        return {
            key: leaf for name, part in members for key, leaf in flat(part, (*path, name)).items()
        }
    return {path: tree}


def test_maker_of_the_run_makes_the_shipped_log_and_truth(tmp_path, monkeypatch):
    runs = shipped("sample_runs")
    if not (runs / "make_plough_disc_run.py").is_file():
        pytest.skip("the maker does not travel with an installed copy")
    monkeypatch.syspath_prepend(str(runs))
    import make_plough_disc_run

    make_plough_disc_run.make_plough_disc_run(tmp_path)
    del sys.modules["make_plough_disc_run"]
    shipped_run = runs / "plough_disc_study"
    assert (tmp_path / "log.csv").read_text() == (shipped_run / "log.csv").read_text()
    # Machines differ in the last digits of exp and log, so the truth is equal to 1e-9.
    made, kept = (json.loads((at / "truth.json").read_text()) for at in (tmp_path, shipped_run))
    made, kept = flat(made), flat(kept)
    assert made.keys() == kept.keys()
    for path, true in kept.items():
        number = isinstance(true, float)
        assert made[path] == (pytest.approx(true, rel=1e-9) if number else true), path
    assert sum(p.stat().st_size for p in tmp_path.rglob("*")) < 2.5e6


def test_the_result_is_plain_for_json_and_names_no_alloy(discs):
    result, _ = discs
    json.dumps(result.to_dict(), allow_nan=False)
    for alloy in ("5160", "1095", "1084", "15N20", "O1", "52100", "L6", "boron"):
        assert not re.search(rf"\b{alloy}\b", result.words())


def test_the_same_evidence_gives_the_same_figures(discs):
    result, _ = discs
    again = judge_steel(result.study.folder, workers=1)
    assert again.to_dict() == result.to_dict()


# ---- the sequence ---------------------------------------------------------------------------


def test_an_empty_study_asks_for_the_first_step_alone(tmp_path):
    result = judge_steel(make_study(tmp_path / "s"))
    assert (result.answer, result.advice.step) == ("cannot_tell", "enough")
    assert result.best.next_test is None
    assert "fumes" in " ".join(result.cautions())
    assert [s.state for s in result.advice.steps] == ["do", *["later"] * 6]


@pytest.mark.parametrize(
    ("piece", "answer", "step"),
    [
        ({"coating": "galvanised"}, "cannot_tell", "enough"),
        ({"makes_blades": 2.0}, "do_not_reuse", "enough"),
        ({"magnetic": False}, "do_not_reuse", "magnet_and_spark"),
    ],
)
def test_a_step_that_ends_the_matter_decides_before_any_odds(tmp_path, piece, answer, step):
    folder = make_study(tmp_path / "s")
    sound = {"id": "leaf", "makes_blades": 12.0, "coating": "none"}
    add_row(folder, "pieces", sound | piece)
    result = judge_steel(folder)
    assert (result.answer, result.advice.action, result.advice.step) == (answer, "stop", step)
    assert result.advice.text in result.summary()
    assert result.to_dict()["verdict"] == answer


def test_a_coating_not_looked_at_keeps_the_first_step_open(tmp_path):
    folder = make_study(tmp_path / "s")
    add_row(folder, "pieces", {"id": "leaf", "makes_blades": 12.0})
    assert judge_steel(folder).advice.summary().startswith("Next: Is there enough")


def test_pieces_that_spark_differently_are_said(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    add_row(folder, "pieces", {"id": "other", "makes_blades": 5.0, "coating": "none",
                               "magnetic": True, "sparks": "like_low"})  # fmt: skip
    result = judge_steel(folder)
    assert "sparks_differ" in codes(result.all_doubts())
    assert "low-carbon steel" in result.advice.steps[1].text  # the poorer of them leads


@pytest.mark.parametrize(
    ("rows", "step"),
    [
        ([("water", 62.0)], "quench_ladder"),  # hard in water: oil is still to be tried
        ([("oil", 62.0)], "temper_ladder"),  # hard in oil: no faster quench is needed
        ([("oil", 45.0)], "quench_ladder"),
        ([("water", 62.0), ("oil", 48.0)], "temper_ladder"),
        ([("water", 40.0)], "case"),
    ],
)
def test_the_ladder_asks_only_for_quenches_that_could_change_it(tmp_path, rows, step):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    for medium, hrc in rows:
        add_row(folder, "quenched", {"medium": medium, "hardness": [hrc, hrc + 0.5],
                                     "grain": "fine", "outcome": "sound"})  # fmt: skip
    assert judge_steel(folder).advice.step == step


def test_tests_are_offered_only_when_their_step_has_come(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    offered = {t.code for t in judge_steel(folder).best.tests}
    assert offered == {"quench_and_break", "lab_analysis"}
    add_row(folder, "quenched", {"medium": "oil", "hardness": "skates all", "grain": "fine"})
    offered = {t.code for t in judge_steel(folder).best.tests}
    assert offered == {"quench_and_break", "lab_analysis", "hardness_ladder"}


def test_soft_steel_is_condemned_as_it_is_without_a_temper(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    add_row(folder, "quenched", {"medium": "water", "hardness": [41, 42], "grain": "fine"})
    result = judge_steel(folder)
    assert result.best.verdict == "do_not_reuse"
    assert "untempered_used" in codes(result.all_doubts())
    assert result.advice.step == "case"
