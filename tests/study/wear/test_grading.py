"""Pass, fail and grades: bounds, and no order without a ladder."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.study.sources import open_source
from edgetest.study.wear.grading import analyse_grades
from tests.study.wear.logs_of_wedges import log_of


def test_pass_and_fail_are_intervals_and_a_blade_that_still_passes_is_a_bound(tmp_path):
    text = "blade,heat_treatment,cuts,pass_fail\n"
    text += "A1,soft,50,pass\nA1,soft,75,fail\nA2,soft,75,pass\n"
    text += "B1,hard,100,pass\nB1,hard,150,fail\nB2,hard,200,pass\nB2,hard,300,fail\n"
    found = analyse_grades(open_source(log_of(tmp_path, text)), reading="pass_fail")
    ends = {life.blade: (life.low, life.high) for life in found.lives}
    assert ends == {
        "A1": (50, 75), "A2": (75, np.inf), "B1": (100, 150), "B2": (200, 300),
    }  # fmt: skip
    assert [group.group for group in found.fit.groups] == ["soft", "hard"]
    second, first, ratio = found.fit.ratios[0]
    assert (second, first) == ("hard", "soft")
    assert ratio.low < 2 < ratio.high


def test_grades_without_a_ladder_are_in_no_order(tmp_path):
    text = "blade,cuts,grade\nA1,0,shaves\nA1,50,tears paper\n"
    with pytest.raises(UnusableInput, match="grades on their own are in no order"):
        analyse_grades(open_source(log_of(tmp_path, text)), reading="grade")
