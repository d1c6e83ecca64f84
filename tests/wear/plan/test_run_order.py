"""An order that cannot be drawn is refused by name; codes differ in two letters."""

from itertools import combinations

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.plan.run_order import balanced_order, blind_codes

FOUR = {"a1": "A", "a2": "A", "b1": "B", "b2": "B"}


def drawn(blades=FOUR, blocks=("1", "2"), **options):
    return balanced_order(blades, blocks, np.random.default_rng(1), **options)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"blades": {}}, "no blade"),
        ({"blocks": ()}, r"^blocks \(--blocks\): no block is named; name rolls, boards or days"),
        ({"blocks": ("1", "1")}, 'a block is named twice: "1"; name each block once'),
        ({"blocks": tuple("12345")}, "5 blocks for 4 blades"),
        ({"runs": 3}, "3 runs of each blade for 2 blocks"),
        ({"runs": 0}, "blocks for 4 blades|0 runs"),
        ({"blocks": ("1",), "runs": 2}, "2 runs of each blade for 1 block$|for 1 block"),
        ({"control": "a1"}, "a1 has a heat treatment"),
    ],
)
def test_what_no_order_can_be_drawn_of_is_named(given, words):
    with pytest.raises(UnusableInput, match=words):
        drawn(**given)


def test_every_block_holds_as_many_of_each_and_every_turn_once():
    for runs in (1, 2):
        found = drawn(runs=runs, control="K")
        for block in "12":
            inside = [run for run in found if run.block == block]
            assert sorted(run.turn for run in inside) == list(range(1, len(inside) + 1))
            assert sum(run.treatment == "A" for run in inside) == runs
            assert sum(run.blade == "K" for run in inside) == 1
        assert len(drawn(blocks=tuple("1234"))) == 4


def test_codes_differ_in_two_places_at_least():
    codes = blind_codes([f"b{i}" for i in range(20)], np.random.default_rng(2))
    assert len(codes) == 20
    assert {len(code) for code in codes.values()} == {3}
    for one, other in combinations(codes.values(), 2):
        assert sum(a != b for a, b in zip(one, other, strict=True)) >= 2
    with pytest.raises(UnusableInput, match="use a longer code"):
        blind_codes([f"b{i}" for i in range(60)], np.random.default_rng(2), length=2)
    with pytest.raises(UnusableInput, match="named twice"):
        blind_codes(["a", "a"], np.random.default_rng(2))


def test_the_block_that_is_named_twice_is_told():
    with pytest.raises(UnusableInput, match='named twice: "roll 2"'):
        balanced_order({"A": "a", "B": "b"}, ["roll 1", "roll 2", "roll 2"], None)
