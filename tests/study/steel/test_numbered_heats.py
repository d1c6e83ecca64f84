"""Is a row of a heat found again by its number, though rows before it give none?"""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.steel.numbered_heats import heat_numbers, row_of_heat

COUPON = {"piece": "B", "coupon": "1"}
FIRST, SECOND = {**COUPON, "medium": "oil"}, {**COUPON, "heat": 2, "hardness_below": ["60-65"]}


def at(rows, *, sure=True, **cells):
    return row_of_heat(rows, {**COUPON, **cells}, sure=sure)


def test_a_first_heat_without_a_number_is_heat_1():
    rows = [{"piece": "A", "coupon": "1"}, FIRST, SECOND]
    assert heat_numbers(rows) == [1, 1, 2]
    assert at(rows, heat=1, hardness_below=["40-45"]) == 1
    assert at(rows, heat=2, hardness_below=["55-60"]) == 2
    assert at(rows, heat=3, medium="oil") is None


def test_rows_without_numbers_are_the_heats_in_their_order():
    again = {**COUPON, "medium": "air"}
    later = {**COUPON, "heat": 4}, {**COUPON, "medium": "water"}
    assert heat_numbers([FIRST, again, dict(FIRST), *later]) == [1, 2, 1, 4, 5]
    assert heat_numbers([{"piece": "B", "blade": "X", "medium": each} for each in "ab"]) == [1, 1]


def test_of_several_rows_of_one_heat_the_one_that_says_the_cell_is_meant():
    rows = [SECOND, {**COUPON, "heat": 2, "grain": "fine"}]
    assert at(rows, heat=2, grain=None) == 1
    assert at(rows, heat=2, fracture="snapped clean") == 0
    rows.append({**SECOND, "hardness_below": ["40-45"]})
    assert at(rows, heat=2, hardness_below=["40-45"], sure=False) == 0
    with pytest.raises(UnusableInput, match="several rows, heats 1 and 3"):
        at(rows, heat=2, hardness_below=None)
