"""A run in a block of its own beside blocks that hold several."""

from types import SimpleNamespace

import pytest

from edgetest.study.wear.lone_blocks import lone_block_doubts


def readings(*runs):
    """One reading of each run: its blade, its block, and whether it was left out."""
    return [
        SimpleNamespace(blade=blade, block=block, line=line, excluded=bool(out))
        for line, (blade, block, *out) in enumerate(runs, start=2)
    ]


FOUR = (("A1", "coil A"), ("A2", "coil A"), ("B1", "coil A"))
AGAIN = ("B2", "coil A, again")


def test_a_run_in_a_block_of_its_own_is_told_with_the_block_that_others_share():
    (one,) = lone_block_doubts(readings(*FOUR, AGAIN))
    assert one.code == "block_of_one_run"
    assert one.text.startswith("No other blade was cut in the block of B2 (coil A, again), so")
    assert "cut on the roll, board or day of coil A, write that name into block" in one.text
    assert "column batch" not in one.text


@pytest.mark.parametrize(
    ("batches", "same"),
    [
        (("1", "1", "1", "1"), True),
        (("1", "1", "2", "1"), True),
        (("1", "1", "1", "2"), False),
        (("", "", "", ""), False),
    ],
)
def test_the_batch_of_the_medium_says_whether_it_may_be_the_same_roll(batches, same):
    of = dict(enumerate(batches, start=2))
    (one,) = lone_block_doubts(readings(*FOUR, AGAIN), None, of)
    assert ("The column batch says the same of both." in one.text) is same


@pytest.mark.parametrize(
    "runs",
    [
        (*FOUR, ("B2", "coil A")),
        (*FOUR, ("B2", "coil A, again", "spoilt"), ("B2", "coil A")),  # left out: no run
        (("A1", "1"), ("B1", "2"), ("A2", "3")),  # one run each: no block is shared
        (("A1", ""), ("B1", ""), ("A2", "3")),  # not noted for every run
        (*FOUR, AGAIN, ("C", "coil A"), ("C", "coil A, again")),  # the control ran on both
    ],
)
def test_blocks_that_say_nothing_of_rolls_are_not_doubted(runs):
    assert lone_block_doubts(readings(*runs), "C") == []
