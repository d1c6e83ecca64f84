"""The page tells of the heats that were written down, and of no heat that nobody wrote."""

import re

import pytest

from edgetest.report.documents.typeset import KINDS

pytestmark = pytest.mark.usefixtures("blank_figures")  # words are read

TRIED = """\
title = "Discs of one harrow"
[document]
units = "{units}"
[verdict]
use = "chopper"
[[evidence.pieces]]
id = "H1"
origin = "plough disc"
makes_blades = {blades}
coating = "none"
lead = "no"
magnet = "strong"
sparks = "like high"
[[evidence.trials]]
piece = "H1"
test = "brass rod"
result = "same"
"""
HEAT = """
[[evidence.heats]]
piece = "H1"
coupon = "K1"
medium = "oil"
heat_c = 800
magnet = "lets go"
hardness_below = ">65"
grain = "fine"
"""


@pytest.fixture
def words(run, tmp_path):
    """Words of the page of a study.toml."""

    def of(text):
        (tmp_path / "study.toml").write_text(text, encoding="utf-8")
        code, _, err = run("report", tmp_path, "--to", tmp_path / "out")
        assert code == 0, err
        page = (tmp_path / "out" / f"verdict.{KINDS[-1]}").read_text(encoding="utf-8")
        page = re.sub(r'src="data:[^"]*"', "", page)
        return " ".join(re.sub(r"[\u200b\u00ad]", "", page).split())

    return of


def test_a_trial_makes_no_heat_that_nobody_wrote_down(words, answer, tmp_path):
    page = words(TRIED.format(units="metric", blades=1))
    told = answer("verdict", tmp_path)
    assert told["heats"] == []
    assert "chance that the heat was" not in page
    assert "for 1 blade;" in page


def test_a_heat_that_was_written_down_is_told(words, answer, tmp_path):
    page = words(TRIED.format(units="both", blades=9) + HEAT).replace("\u00a0", " ")
    told = answer("verdict", tmp_path)
    assert [heat["coupon"] for heat in told["heats"]] == ["K1"]
    assert "Coupon K1, heat 1, chance that the heat was" in page
    assert "for 9 blades;" in page
    assert "800 °C (1472 °F)" in page
