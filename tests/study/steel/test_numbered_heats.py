"""Is a row of a heat found again by its number, though rows before it give none?"""

import pytest

from edgetest.errors import UnusableInput
from edgetest.study.steel.numbered_heats import (
    heat_numbers,
    of_coupon,
    only_heat,
    only_piece,
    row_of_heat,
)

COUPON = {"piece": "B", "coupon": "1"}
FIRST, SECOND = {**COUPON, "medium": "oil"}, {**COUPON, "heat": 2, "hardness_below": ["60-65"]}


def at(rows, *, sure=True, **cells):
    return row_of_heat(rows, {**COUPON, **cells}, "B", sure=sure)


def numbered(rows):
    return heat_numbers(rows, [of_coupon(row, "B") for row in rows])


def test_a_first_heat_without_a_number_is_heat_1():
    rows = [{"piece": "A", "coupon": "1"}, FIRST, SECOND]
    assert numbered(rows) == [1, 1, 2]
    assert at(rows, heat=1, hardness_below=["40-45"]) == 1
    assert at(rows, heat=2, hardness_below=["55-60"]) == 2
    assert at(rows, heat=3, medium="oil") is None


def test_rows_without_numbers_are_the_heats_in_their_order():
    again = {**COUPON, "medium": "air"}
    later = {**COUPON, "heat": 4}, {**COUPON, "medium": "water"}
    assert numbered([FIRST, again, dict(FIRST), *later]) == [1, 2, 1, 4, 5]
    assert numbered([{"piece": "B", "blade": "X", "medium": each} for each in "ab"]) == [1, 1]


def test_a_row_that_names_the_only_piece_is_of_the_coupon_of_one_that_names_none():
    bare = {"medium": "air"}
    assert only_piece({"pieces": [{"id": "B"}]}) == "B"
    assert only_piece({"heats": [bare]}) == only_piece(None) == "1"
    assert numbered([FIRST, bare]) == [1, 2]
    assert numbered([bare, {"coupon": 1, "medium": "oil"}, {"piece": "A", "coupon": "1"}]) == [
        1,
        2,
        1,
    ]
    assert row_of_heat([bare, FIRST], {"heat": 2, "grain": "fine"}, "B", sure=True) == 1
    assert of_coupon({"blade": "X", "piece": "B"}, "") == of_coupon({"blade": "X"}, "C")


def test_a_heat_told_again_in_other_words_or_with_a_note_is_the_same():
    again = {**FIRST, "hardness": ["60 HRC"], "note": "told again"}
    assert numbered([{**FIRST, "hardness": 60}, again, {**FIRST, "hardness": 61}]) == [1, 1, 2]
    faulty = {**FIRST, "medium": "olive"}
    assert numbered([faulty, dict(faulty), FIRST]) == [1, 1, 2]


def test_of_several_rows_of_one_heat_the_one_that_says_the_cell_is_meant():
    rows = [SECOND, {**COUPON, "heat": 2, "grain": "fine"}]
    assert at(rows, heat=2, grain=None) == 1
    assert at(rows, heat=2, fracture="snapped clean") == 0
    rows.append({**SECOND, "hardness_below": ["40-45"]})
    assert at(rows, heat=2, hardness_below=["40-45"], sure=False) == 0
    with pytest.raises(UnusableInput, match="several rows, heats 1 and 3"):
        at(rows, heat=2, hardness_below=None)


def test_a_cell_of_the_only_heat_needs_no_number():
    other = {"piece": "C", "coupon": "1", "medium": "air"}
    assert only_heat([other, FIRST], COUPON, "B") == 1
    assert only_heat([other], COUPON, "B") is None
    with pytest.raises(UnusableInput, match="which one is not sure") as met:
        only_heat([FIRST, other, SECOND], COUPON, "B")
    assert met.value.mend == "add its number: --evidence heats piece=B coupon=1 heat=1 or heat=2"
