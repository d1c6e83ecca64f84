"""Turns: every heat treatment is first, second, … equally often, and follows each other alike."""

from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.plan.run_order import balanced_order
from edgetest.wear.plan.turns import _drift, counterbalanced, williams_squares
from tests.benchmarks.order_table import LAYOUTS, SEEDS, drawn, firsts_apart, places_apart


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6])
def test_williams_squares_balance_place_and_what_goes_before(count):
    squares = williams_squares(count)
    for square in squares:
        assert (np.sort(square, axis=0) == np.arange(count)[:, None]).all()
        assert (np.sort(square, axis=1) == np.arange(count)).all()
    after = Counter(pair for square in squares for row in square for pair in pairwise(row.tolist()))
    assert len(after) == count * (count - 1)
    assert len(set(after.values())) == 1


@pytest.mark.parametrize(("treatments", "rolls"), [("AB", 6), ("ABC", 6), ("ABCD", 8)])
def test_each_treatment_has_each_turn_equally_often(treatments, rolls):
    blades = {f"{t}{i}": t for t in treatments for i in range(rolls)}
    runs = balanced_order(blades, [f"roll {i}" for i in range(rolls)], np.random.default_rng(4))
    turns = Counter((run.treatment, run.turn) for run in runs)
    assert set(turns.values()) == {rolls // len(treatments)}


def test_odd_numbers_come_within_one_and_the_control_has_its_turns_too():
    blades = {f"{t}{i}": t for t in "AB" for i in range(5)}
    runs = balanced_order(
        blades, [f"roll {i}" for i in range(5)], np.random.default_rng(4), control="C"
    )
    for name in ("A", "B", "control"):
        turns = Counter(run.turn for run in runs if run.treatment == name)
        assert max(turns.values()) - min(turns.get(k, 0) for k in (1, 2, 3)) <= 1


def test_several_blades_under_one_roll_alternate_in_rounds():
    (order,) = counterbalanced(["AAAABBBB"], np.random.default_rng(0))
    assert [set(pair) for pair in zip(order[::2], order[1::2], strict=True)] == [{"A", "B"}] * 4
    firsts = Counter(order[::2])
    assert firsts["A"] == firsts["B"] == 2


def test_what_is_there_less_often_is_spread_over_the_roll():
    (order,) = counterbalanced(["AABBBBBB"], np.random.default_rng(1))
    places = [i for i, name in enumerate(order) if name == "A"]
    assert places[1] - places[0] >= 3


def test_the_seed_repeats_the_order_and_another_draws_another():
    blocks = ["AABBCC"] * 4
    draws = [counterbalanced(blocks, np.random.default_rng(seed)) for seed in (1, 1, 2)]
    assert draws[0] == draws[1] != draws[2]


def test_a_blade_cut_again_goes_on_to_another_roll():
    blades = {f"{t}{i}": t for t in "AB" for i in range(3)}
    rolls = ["roll 1", "roll 2", "roll 3"]
    runs = balanced_order(blades, rolls, np.random.default_rng(3), runs=2)
    for blade in blades:
        assert len({run.block for run in runs if run.blade == blade}) == 2
    each = Counter((run.block, run.treatment) for run in runs)
    assert set(each.values()) == {2}
    with pytest.raises(UnusableInput, match="runs: 4 runs of each blade for 3 blocks"):
        balanced_order(blades, rolls, np.random.default_rng(3), runs=4)


@pytest.mark.parametrize(
    ("layout", "firsts", "places"),
    [
        ("4 and 4, 2 rolls, control", 0, 0),
        pytest.param("5 and 3, 3 rolls, control", 1, 0.05, marks=pytest.mark.slow),
        pytest.param("2 each of 4, 2 rolls", 1, 0, marks=pytest.mark.slow),
    ],
)
def test_over_two_hundred_draws_no_treatment_is_favoured_by_its_place(layout, firsts, places):
    for seed in SEEDS:
        blocks = drawn(LAYOUTS[layout], seed)
        assert firsts_apart(blocks) <= firsts, seed
        assert places_apart(blocks) <= places + 1e-9, seed


def test_the_control_blade_takes_its_turn_at_other_places_too():
    for seed in range(1, 21):
        orders = counterbalanced(["AABBc", "AABBc"], np.random.default_rng(seed), apart="c")
        assert len({order.index("c") for order in orders}) == 2


def test_orders_stay_drawn_by_lot():
    held = ["AABBc", "AABBc"]
    drawn_so = {str(counterbalanced(held, np.random.default_rng(s), apart="c")) for s in range(40)}
    assert len(drawn_so) >= 4


def test_a_hand_that_tires_costs_as_much_as_the_places_say():
    assert _drift([["a", "b"], ["b", "a"]]) == 0
    assert _drift([["a", "b"]]) == pytest.approx(2 * 0.25**2)
    assert _drift([["a", "b", "c"]]) == pytest.approx(2 * (1 / 3) ** 2)
