"""An edge that was left coarse is named by its fresh reading, and edges sharpened alike are not."""

import numpy as np
import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.fresh_apart import odd_edges
from tests.study.wear.logs_of_wedges import log_of, wedge_log
from tests.study.wear.surfaces import surfaces

LIVES = {("soft", f"S{i}"): 150 * f for i, f in enumerate((0.95, 1.0, 1.06, 0.99))}
LIVES |= {("hard", f"H{i}"): 210 * f for i, f in enumerate((0.97, 1.0, 1.03, 1.01))}


def edges(rng, spread, runs=8, **odd):
    """Three readings of each fresh edge, 3 % about it; edges lognormal about 5 µm."""
    fresh = {f"R{i}": 5.0 * np.exp(spread * rng.standard_normal()) for i in range(runs)}
    fresh |= {run: fresh[run] * times for run, times in odd.items()}
    return {run: own * np.exp(0.03 * rng.standard_normal(3)) for run, own in fresh.items()}


def test_edges_sharpened_alike_are_told_apart_about_once_in_a_hundred():
    rng = np.random.default_rng(41)
    told = [bool(odd_edges(edges(rng, spread))) for spread in (0.06, 0.15, 0.3) for _ in range(400)]
    assert np.mean(told) <= 0.015


@pytest.mark.parametrize("times", [2.0, 0.5])
def test_an_edge_left_coarse_or_keen_is_named_with_its_ratio(times):
    rng = np.random.default_rng(7)
    found = [odd_edges(edges(rng, 0.06, R3=times)) for _ in range(200)]
    named = [one[0] for one in found if one and one[0].run == "R3"]
    assert len(named) >= 190
    assert np.mean([one.low <= times <= one.high for one in named]) >= 0.9


def test_the_steps_of_a_coarse_scale_name_nobody():
    two_or_four = {f"R{i}": [2.0] for i in range(7)} | {"R7": [4.0]}
    assert odd_edges(two_or_four, step=2.0) == []
    assert [one.run for one in odd_edges(two_or_four)] == ["R7"]


def test_among_four_runs_and_with_unlike_edges_nobody_is_odd():
    assert odd_edges({"A": [5.0], "B": [5.1], "C": [4.9], "D": [9.0]}) == []
    assert odd_edges({"A": [5.0], "B": [5.1], "C": [4.9], "D": [5.0], "E": [6.1]}) == []


def coarse(tmp_path, times, excluded="", odd="H1"):
    lines = wedge_log(LIVES, {"soft": 5.0, "hard": 5.0}, limit=12.0).splitlines()
    lines[0] += ",exclude"
    for k, line in enumerate(lines[1:], 1):
        blade, treatment, cuts, width = line.split(",")
        fresh = float(cuts) == 0 and blade == odd
        width = f"{float(width) * times:.3f}" if fresh else width
        lines[k] = f"{blade},{treatment},{cuts},{width},{excluded * (blade == odd)}"
    return open_source(log_of(tmp_path, "\n".join(lines) + "\n", "log.csv"))


def named(found):
    return [one for one in found.doubts if one.code == "fresh_edge_apart"]


def test_the_answer_tells_the_oddand_what_it_is_without_it(tmp_path):
    found = analyse(coarse(tmp_path, 1.8), AnalysisOptions(limit=12.0))
    (told,) = {one.where.blade: one for one in named(found)}.values()
    assert told.text.startswith("H1: Its fresh edge reads 1.8 times (")
    assert "Without it: hard lasts 1.38 (" in told.text
    assert found.words().count("Its fresh edge reads") == 1


def test_the_answer_without_it_is_told_of_the_first_blade_of_the_log_too(tmp_path):
    """Without it another heat treatment comes first in the log; the pair is the same."""
    log = coarse(tmp_path, 1.8, odd="S1")
    lines = log.path.read_text("utf-8").splitlines()
    first = [line for line in lines[1:] if line.startswith("S1,")]
    rest = [line for line in lines[1:] if line.startswith("H")]
    last = [line for line in lines[1:] if line[:2] in ("S2", "S3", "S4", "S0")]
    text = "\n".join([lines[0], *first, *rest, *last]) + "\n"
    found = analyse(open_source(log_of(tmp_path, text, "turned.csv")), AnalysisOptions(limit=12.0))
    (told,) = {one.where.blade: one for one in named(found)}.values()
    assert told.where.blade == "S1"
    assert "Without it: hard lasts 1.38 (" in told.text


@pytest.mark.parametrize(("times", "excluded"), [(1.0, ""), (1.8, "coarse")])
def test_like_edges_and_an_edge_left_out_are_not_told(tmp_path, times, excluded):
    found = analyse(coarse(tmp_path, times, excluded), AnalysisOptions(limit=12.0))
    assert named(found) == []


def test_page_and_document_say_it_too(tmp_path, monkeypatch):
    blades = [{"id": name, "heat_treatment": treatment} for treatment, name in LIVES]
    treatments = [{"id": name, "title": f"{name} temper"} for name in ("soft", "hard")]
    study = new_study(
        tmp_path / "left", "sisal_rope", "left", blades=blades, heat_treatments=treatments
    )
    (study.folder / "log.csv").write_bytes(coarse(tmp_path, 1.8).path.read_bytes())
    toml = study.folder / "study.toml"
    toml.write_text(f"limit = 12\n{toml.read_text(encoding='utf-8')}", encoding="utf-8")
    said = surfaces(study.folder, tmp_path, monkeypatch)
    for surface in ("text", "page", "document"):
        assert "H1: Its fresh edge reads 1.8 times (" in said[surface], surface
        assert "Without it: hard temper lasts 1.38 (" in said[surface], surface
    assert "fresh_edge_apart" in {one["code"] for one in said["json"]["doubts"]}
