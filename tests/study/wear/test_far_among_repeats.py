"""A reading far from its fellows of one stage stands out though another blade's mishap counts."""

import csv
import io

import numpy as np
import pytest

from edgetest.study.sources import open_source
from edgetest.study.wear.wear_answer import comparison_of, curves_of
from tests.study.wear.logs_of_wedges import log_of, wedge_log

LIVES = {("soft", "S1"): 150, ("soft", "S2"): 170, ("hard", "H1"): 200, ("hard", "H2"): 230}
SLIP, MISHAP = ("H1", 100.0, 2), ("S1", 200.0)
SLIP_ROW = 84  # of the log: the third of five at 100 cuts of H1


def source(tmp_path, *, slip=1.4, note="", mishap=2.5):
    """Five readings a stage, that scatter by 3 %; all of one blade's last stage are spoilt."""
    text = wedge_log(LIVES, {"soft": 3.0, "hard": 3.0}, cv=0.0)
    rng, rows = np.random.default_rng(8), [["blade", "heat_treatment", "cuts", "station_mm",
                                            "check_no", "edge_width_um", "note"]]  # fmt: skip
    for row in csv.DictReader(io.StringIO(text)):
        cuts, about = float(row["cuts"]), float(row["edge_width_um"])
        about *= mishap if (row["blade"], cuts) == MISHAP else 1
        for k in range(5):
            odd = (row["blade"], cuts, k) == SLIP
            value = about * np.exp(0.03 * rng.standard_normal()) * (slip if odd else 1)
            rows.append([row["blade"], row["heat_treatment"], row["cuts"], "40", k + 1,
                         f"{value:.3f}", note if odd else ""])  # fmt: skip
    text = "\n".join(",".join(map(str, row)) for row in rows) + "\n"
    assert text.splitlines()[SLIP_ROW - 1].startswith("H1,hard,100,40,3,")
    return open_source(log_of(tmp_path, text))


def told(doubts):
    return [one for one in doubts if one.code == "outlying_reading"]


def test_it_is_named_with_what_its_fellows_read(tmp_path):
    found = curves_of(source(tmp_path))
    (one,) = [one for one in told(found.fit.all_doubts()) if one.where.blade == "H1"]
    assert (one.where.file, one.where.row, one.where.stage) == ("log.csv", SLIP_ROW, 100)
    assert "(by the others of its stage and place) is expected" in one.text
    fellows = [each.value for each in found.readings
               if (each.blade, each.cuts) == SLIP[:2] and each.line != SLIP_ROW]  # fmt: skip
    assert one.where.expected == pytest.approx(np.median(fellows))
    assert found.fit["H1"].outlying == (SLIP_ROW - 2,)


def test_the_comparison_names_it_too(tmp_path):
    doubts = told(comparison_of(source(tmp_path)).doubts)
    assert SLIP_ROW in [one.where.row for one in doubts]


def test_one_that_the_curve_has_named_is_named_once(tmp_path):
    (one,) = told(curves_of(source(tmp_path, mishap=1.0, slip=1.8)).fit.all_doubts())
    assert one.where.row == SLIP_ROW
    assert "by the curve without it" in one.text


def test_a_log_without_a_slip_names_none(tmp_path):
    doubts = told(curves_of(source(tmp_path, slip=1.0)).fit.all_doubts())
    assert not [one for one in doubts if one.where.blade == "H1"]


def test_a_reading_that_was_looked_at_is_not_asked_about_again(tmp_path):
    doubts = told(curves_of(source(tmp_path, note="it counts")).fit.all_doubts())
    assert not [one for one in doubts if one.where.blade == "H1" and "mark it" in one.text]
