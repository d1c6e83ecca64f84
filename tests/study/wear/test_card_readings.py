"""Card cut per cycle: its sums, and where there is none."""

import pytest

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import analyse
from edgetest.study.wear.card_readings import card_sums_of
from tests.study.wear.logs_of_wedges import log_of


def test_card_sums_are_the_first_three_and_all(tmp_path):
    cut = [20.0, 18.0, 16.5, 15.0, 14.2, 13.1]
    text = "blade,cuts,card_mm\n" + "".join(f"A,{i},{mm}\n" for i, mm in enumerate(cut, 1))
    sums = card_sums_of(analyse(open_source(log_of(tmp_path, text)), compare=False).readings)
    assert sums["A"].icp_mm == pytest.approx(54.5)
    assert sums["A"].tcc_mm == pytest.approx(96.8)


def test_a_gap_among_the_cycles_has_no_sum(tmp_path):
    text = "blade,cuts,card_mm\nA,1,20\nA,2,18\nA,4,15\nA,5,14\nA,6,13\n"
    result = analyse(open_source(log_of(tmp_path, text)), compare=False)
    assert card_sums_of(result.readings) == {}
