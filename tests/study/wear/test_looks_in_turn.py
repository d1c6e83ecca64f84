"""A look that falls within a roll spares no blade: all of that roll wait for their next stage."""

import numpy as np
import pytest

from edgetest.study.wear.looks_in_turn import looks_in_turn
from edgetest.wear.plan.run_order import balanced_order


def runs(each, blocks, **how):
    blades = {f"{name}{n}": name for name in "AB" for n in range(each)}
    return balanced_order(blades, blocks, np.random.default_rng(3), **how)


def test_two_blades_a_side_on_each_of_two_rolls_have_no_look_at_three():
    (told,) = looks_in_turn(runs(4, ("roll 1", "roll 2"), control="C1"), (3, 4))
    assert told.code == "looks_within_a_block"
    assert "are done so: 2 after roll 1 and 4 after roll 2. The look at 3 a side falls" in told.text


@pytest.mark.parametrize(
    ("each", "blocks", "sizes"),
    [
        (4, ("a", "b", "c", "d"), (3, 4)),  # one of each in a roll: a look after any
        (6, ("a", "b"), (3, 6)),
        (3, ("a", "b", "c"), (3, 4, 5, 6)),  # of blades that are not there yet it says nothing
        (0, (), (3, 4)),
    ],
)
def test_looks_at_the_end_of_a_roll_are_not_doubted(each, blocks, sizes):
    drawn = runs(each, blocks) if each else ()
    assert looks_in_turn(drawn, sizes) == []


def test_on_one_roll_all_are_done_together():
    (told,) = looks_in_turn(runs(5, ("roll 1",)), (3, 4, 5))
    assert "5 after roll 1. The looks at 3 and 4 a side fall between" in told.text


def test_a_blade_that_is_cut_on_several_rolls_is_done_after_its_last():
    drawn = runs(4, ("a", "b"), runs=2)
    (told,) = looks_in_turn(drawn, (3, 4))
    assert "0 after a and 4 after b" in told.text
