"""Readings after one temper that disagree are asked about where they stand."""

import pytest

from edgetest.store.checking import validate
from edgetest.store.records import study_of
from edgetest.study.steel.asked_of_steel import asked_of_steel
from edgetest.study.steel.readings_apart import apart_asked
from edgetest.study.steel.steel_rows import SteelRows

APART = {"hardness": ["45-50", "60-65"]}


def asked(**cells):
    temper = {"coupon": "A1", "temperature_c": 204, **cells}
    return [str(one) for one in apart_asked(validate(SteelRows, {"tempers": [temper]}, "here"))]


def test_readings_apart_are_asked_about_with_both():
    (one,) = asked(**APART)
    assert "tempers 1, hardness: its readings 45-50 and 60-65 disagree" in one
    assert "hardness_below; if two coupons were read" in one
    (below,) = asked(hardness_below=[62, 52])
    assert "tempers 1, hardness_below: its readings 62 and 52" in below
    assert "read both places again" in below


@pytest.mark.parametrize(
    "cells",
    [
        {},
        {"hardness": ["55-60", "60-65"]},
        {**APART, "hardness_below": ["60-65"]},
        {"hardness": [700, 690], "scale": "HV"},
    ],
)
def test_readings_that_agree_or_were_made_again_below_are_not(cells):
    assert asked(**cells) == []


def test_the_question_is_asked_of_the_study(tmp_path):
    rows = {
        "heats": [{"coupon": "A1", "hardness": 62}],
        "tempers": [{"coupon": "A1", "temperature_c": 200, **APART}],
    }
    (one,) = asked_of_steel(study_of({"title": "x", "evidence": rows}, tmp_path))
    assert "disagree" in one.what
