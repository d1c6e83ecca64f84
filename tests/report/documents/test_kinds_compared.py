"""The second page tells the ratios of the tool's own heat treatment, and none where none is."""

import json

from edgetest.report.documents.kinds_compared import treatments_section
from tests.study.chop.test_treatment_mixing import FOUR, STROKES, result_of, rows_of


def test_the_ratios_are_told_in_a_section(tmp_path):
    found = result_of(tmp_path, FOUR, rows_of(STROKES, [1, 2, 12, 9]))
    (told,) = treatments_section(found, "A1")
    words = json.dumps(told)
    assert "Heat treatments compared" in words
    assert "Chops, soft over hard" in words
    assert "Loss of depth per 100 chops, soft over hard" in words


def test_one_heat_treatment_has_no_such_section(tmp_path):
    one = {"A1": "hard", "A2": "hard"}
    strokes = {"A1": 20, "A2": 22}
    found = result_of(tmp_path, one, rows_of(strokes, [1, 2]))
    assert treatments_section(found, "A1") == []
