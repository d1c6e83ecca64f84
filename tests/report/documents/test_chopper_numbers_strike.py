"""A sheet bids nobody strike with the tip, and says how far off the blow as given is."""

import re

import pytest

from edgetest.report.documents.chopper_sheet import sheet_contents
from edgetest.report.documents.chopper_words import tool_sentences
from edgetest.store.document_wishes import settings_of
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.sources import open_chops

STUDY = """
title = "Hedging billhook (invented)"
protocol = "billet_chop"
blades = [{{id = "B7", length_mm = {length}}}]
[handling.B7]
grip_mm = 70
strike_mm = 330
mass_g = 690
balance_mm = 220
pivot_mm = 25
swings = 20
seconds = [23.6, 23.7, 23.8]
amplitude_deg = 15
"""


def told(folder, length):
    (folder / "study.toml").write_text(STUDY.format(length=length), encoding="utf-8")
    (folder / "chops.csv").write_text("blade,kind,order,chops\n", encoding="utf-8")
    result = analyse_chops(open_chops(folder))
    contents = sheet_contents(result, "B7", settings_of(result.study), day="1 May 2026")
    captions = re.findall(r"'caption': \"?'?([^{}]*)", str(contents.sections))
    return " ".join(captions), " ".join(tool_sentences(result, "B7"))


@pytest.mark.parametrize("length", [420, 425])
def test_a_percussion_centre_at_the_tip_is_told_as_no_place_to_strike_with(tmp_path, length):
    caption, first = told(tmp_path, length)
    assert "Strike at the percussion centre" not in caption
    far = f"416 mm from the butt, at the tip ({length} mm) or past it; the blow as given, at 330"
    assert far in caption
    assert "falls 86 mm nearer the hand" in caption
    assert "no place to strike with" in caption
    assert "strikes without kick" not in first
    assert "falls 86 mm nearer the hand" in first


def test_one_past_the_tip_is_told_and_one_well_on_the_tool_is_bidden(tmp_path):
    caption, _ = told(tmp_path, 400)
    assert "percussion centre lies beyond the tip: the hand feels a kick" in caption
    caption, first = told(tmp_path, 480)
    assert "Strike at the percussion centre" in caption
    assert "It strikes without kick at 416 mm" in first
