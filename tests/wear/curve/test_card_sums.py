"""ISO 8442-5 sums on a log worked by hand."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.curve.card_sums import card_sums


def test_sums_of_a_hand_worked_log():
    sums = card_sums([22.0, 19.5, 17.0, 15.5, 14.0, 12.0])
    assert sums.icp_mm == 58.5  # 22.0 + 19.5 + 17.0
    assert sums.tcc_mm == 100.0
    assert sums.cumulative_mm.tolist() == [22.0, 41.5, 58.5, 74.0, 88.0, 100.0]
    assert sums.summary() == "58.5 mm in the first 3 cycles, 100.0 mm in all 6"
    assert sums.to_dict()["cycles"] == 6


@pytest.mark.parametrize(
    ("cut", "match"),
    [
        ([20.0, 18.0], "2 cycles"),
        ([20, float("nan"), 18], "cycle 2 reads nan"),
        ([20, 1, -1], "cycle 3"),
    ],
)
def test_a_sum_needs_every_cycle(cut, match):
    with pytest.raises(UnusableInput, match=match):
        card_sums(cut)
