"""The verdict follows what happened to the trial blades of the histories by another hand."""

import pytest

from tests.benchmarks.blade_histories_judge import OF_ONE, OF_TWO, holds, write_rows
from tests.benchmarks.worlds.blade_histories import HISTORIES

# Of one answer or of two; what is asked while rows are typed is the judge's own.
KINDS = {*OF_ONE, *OF_TWO} - {"asked"}
ORDERED = ("rolled", "chip_requench_chip", "one_stood_one_broke", "coupon_chipped_blade_stood")


@pytest.mark.parametrize("name", HISTORIES)
def test_what_an_honest_smith_holds_of_the_answer(name):
    history = HISTORIES[name]
    told = [one for one in history.expected if one.kind in KINDS and not one.unfair]
    assert [one for one in told if not holds(history, one, put=write_rows)] == []


@pytest.mark.parametrize("name", ORDERED)
def test_the_order_of_rows_changes_nothing(name):
    history = HISTORIES[name]
    assert all(
        holds(history, one, put=write_rows) for one in history.expected if one.kind == "order_free"
    )
