"""Repeated readings of one edge, from a table."""

import numpy as np
import pytest

from edgetest.errors import ManyFaults
from edgetest.study.wear.repeats import repeatability_of
from tests.study.wear.logs_of_wedges import log_of


def test_repeated_readings_name_the_cell_that_is_no_number(tmp_path):
    path = log_of(tmp_path, "operator;edge_width_um\na;5,1\na;wide\nb;5,2\n", "repeats.csv")
    with pytest.raises(ManyFaults, match=r"repeats\.csv, row 3, edge_width_um"):
        repeatability_of(path)


def test_repeated_readings_by_two_people(tmp_path):
    text = "operator,edge_width_um\n" + "".join(
        f"{who},{value}\n" for who, values in (("a", (5.1, 5.2, 5.0)), ("b", (5.3, 5.4, 5.2)))
        for value in values
    )  # fmt: skip
    found = repeatability_of(log_of(tmp_path, text), relative=False).spread
    assert found.sd_repeat == pytest.approx(0.1, rel=1e-9)
    # Between: mean square of means 3 * 0.02 = 0.06 over within 0.01: (0.06 - 0.01) / 3.
    assert found.sd_between == pytest.approx((0.05 / 3) ** 0.5, rel=1e-9)


def test_a_reading_that_stands_apart_is_named_by_its_row(tmp_path):
    rng = np.random.default_rng(2)
    values = np.round(5 + 0.1 * rng.standard_normal(12), 3).tolist()
    values[4] = 7.5
    text = "operator,edge_width_um\n" + "".join(f"a,{value}\n" for value in values)
    found = repeatability_of(log_of(tmp_path, text), relative=False)
    assert found.standing_apart == ((6, 7.5),)
    assert "Row 6 reads 7.5" in found.summary()
    assert found.spread.readings == 12  # named, not dropped
    assert found.used_words("Kept; the plan uses it") == (
        "Kept; the plan uses it, row 6 and all. If that was a slip, mend it and keep the result "
        "anew."
    )
