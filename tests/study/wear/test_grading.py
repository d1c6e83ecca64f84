"""Which readings are grades, and whose leaving ends a life."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.sources import open_source
from edgetest.study.wear.grading import gives_lives, grade_taken
from tests.study.wear.logs_of_wedges import log_of


def test_pass_and_fail_need_no_grade(tmp_path):
    source = open_source(log_of(tmp_path, "blade,cuts,pass_fail\nA1,0,pass\n"))
    assert gives_lives(source, "pass_fail")
    assert not gives_lives(source, "edge_width_um")
    assert grade_taken(source, "pass_fail") == ("pass", ())


def test_grades_of_a_log_alone_are_in_no_order(tmp_path):
    source = open_source(log_of(tmp_path, "blade,cuts,grade\nA1,0,shaves\n"))
    with pytest.raises(UnusableInput, match="in no order"):
        grade_taken(source, "grade")
