"""Where a law misfits, the laws that the readings follow are named with their option, or none."""

import json
from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.app.page_words import on_page
from edgetest.study.wear.other_laws import fit_told_of_laws
from edgetest.wear.curve.curve_doubts import law_misfits
from edgetest.wear.curve.study_curves import FitOptions, StudyFit
from tests.study.wear.logs_of_wedges import log_of, wedge_log
from tests.study.wear.surfaces import worked_out_once


@dataclass(frozen=True)
class Blade:
    study_doubts: tuple = ()


def fit_of(*doubts, blades=6):
    return StudyFit("wedge", None, (Blade(),) * blades, doubts=doubts)


def told(law, follows=(), **more):
    """The doubt of a fit by a law that misfits, and the laws that were tried beside it."""
    tried = []

    def of(_, how):
        tried.append((how.law, how.power))
        return fit_of() if how.law in follows else fit_of(law_misfits("Alike."))

    how, fits = FitOptions(limit=12.0, law=law, power=1.5), SimpleNamespace(of=of)
    (one,) = fit_told_of_laws(fit_of(law_misfits("Try."), **more), None, how, fits).doubts
    return one.text, tried


def test_a_law_that_the_readings_follow_is_named_with_its_option():
    said, tried = told("wedge", ("saturating",))
    assert tried == [("saturating", None)]
    assert "Try the law saturating, which shows no such stretch (`--law saturating`)." in said
    assert "Try the law saturating, which shows no such stretch. Trust" in on_page(said)
    said, tried = told("falling_power", ("falling_exponential", "falling_hyperbolic"))
    assert len(tried) == 2
    assert "which show no such stretch (`--law falling_exponential` or `--law falling_hyp" in said
    assert "--law" not in on_page(said)


def test_where_no_other_law_does_better_none_is_advised():
    said, _ = told("wedge")
    assert "Nor do they follow the law saturating." in said
    assert "Try" not in said


@pytest.mark.parametrize("blades", [61, 60])
def test_of_many_blades_no_other_is_tried(blades):
    said, tried = told("wedge", ("saturating",), blades=blades)
    assert bool(tried) is (blades == 60)
    assert ("than this law. Try." in said) is (blades == 61)


def run_in_and_then_fast(path):
    """Edges that wear off a burr first and go fast in the end: no law of widths is like that."""
    rng, lines = np.random.default_rng(3), ["blade,heat_treatment,cuts,edge_width_um"]
    for name, share in (("soft", 1.0), ("hard", 0.7)):
        for blade in range(3):
            for cuts in (0, 10, 20, 40, 60, 80, 100, 150, 200, 250, 300):
                burr, late = 6 * (1 - np.exp(-cuts / 15)), 0.00012 * cuts**2 * (1 + 0.05 * blade)
                width = (2 + share * (burr + late)) * (1 + 0.01 * rng.standard_normal())
                lines.append(f"{name[0]}{blade},{name},{cuts},{width:.3f}")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_no_json_recommends_a_law_that_the_screen_says_misfits(run, tmp_path, monkeypatch):
    worked_out_once(monkeypatch)
    log, asked = run_in_and_then_fast(tmp_path / "log.csv"), ("--limit", "12")
    screen = run("compare", log, *asked)[1]
    compared = json.loads(run("compare", log, *asked, "--json")[1])
    curves = json.loads(run("fit", log, *asked, "--json")[1])
    (said,) = [one["text"] for one in compared["doubts"] if one["code"] == "law_misfits"]
    assert "Nor do they follow the law saturating." in said
    assert said in screen
    for curve in curves:
        for key in ("doubts", "warnings"):
            assert [one["text"] for one in curve[key] if one["code"] == "law_misfits"] == [said]
    ranked = {score["law"]: score["misfits"] for score in compared["laws"]}
    assert ranked == dict.fromkeys(
        ("wedge, p shared", "wedge, p = 2", "saturating", "wedge, p = 1"), True
    )


def test_a_law_that_fits_is_ranked_as_one_and_what_was_not_asked_as_unknown(run, tmp_path):
    lives = {("soft", f"S{k}"): 120 + 10 * k for k in range(3)}
    lives |= {("hard", f"H{k}"): 180 + 10 * k for k in range(3)}
    text = wedge_log(lives, {"soft": 3.0, "hard": 3.0})
    log = log_of(tmp_path, text)
    found = json.loads(run("compare", log, "--limit", "12", "--json")[1])
    ranked = {score["law"]: score["misfits"] for score in found["laws"]}
    assert ranked["wedge, p shared"] is False
    assert (ranked["saturating"], ranked["wedge, p = 1"]) == (None, None)
