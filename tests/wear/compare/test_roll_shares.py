"""Shares of the cutting by roll, and how unlike two heat treatments' are, against closed forms."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.wear.compare.roll_shares import RollShares, roll_shares, shares_of_runs

CUTS = (0, 50, 100, 200)


def shares(*rolls_by_stage, up_to=200.0, cuts=CUTS):
    """Of runs R0, R1 …, each a roll a stage as one letter, "." where none is noted."""
    run = [f"R{i}" for i, of in enumerate(rolls_by_stage) for _ in of]
    roll = [name.strip(".") for of in rolls_by_stage for name in of]
    return shares_of_runs(run, cuts * len(rolls_by_stage), roll, up_to)


def test_a_stage_is_cut_on_its_roll_since_the_stage_before():
    runs, rolls, found = shares("aaab", "aabb")
    assert (runs, rolls) == (("R0", "R1"), ("a", "b"))
    assert_allclose(found, [[0.5, 0.5], [0.25, 0.75]])


def test_shares_end_where_asked_within_a_stage():
    assert_allclose(shares("aaab", up_to=150.0)[2], [[2 / 3, 1 / 3]])
    assert_allclose(shares("aaab", up_to=100.0)[2], [[1.0]])


def test_beyond_its_last_stage_a_run_goes_on_with_its_last_roll():
    assert_allclose(shares("aaab", up_to=400.0)[2], [[0.25, 0.75]])


def test_a_blank_goes_on_with_the_roll_noted_before():
    assert_allclose(shares("aa.b", "a.b.")[2], [[0.5, 0.5], [0.25, 0.75]])


def test_before_the_first_of_several_rolls_it_is_not_noted():
    _, rolls, found = shares(".aab")
    assert rolls == ("a", "b")  # nothing was cut at 0
    _, rolls, found = shares("..ab")
    assert rolls == ("", "a", "b")
    assert_allclose(found, [[0.25, 0.25, 0.5]])


def test_one_roll_noted_anywhere_is_that_of_the_run_and_none_leaves_it_out():
    runs, rolls, found = shares("..b.", "....")
    assert (runs, rolls) == (("R0",), ("b",))
    assert_allclose(found, [[1.0]])


def unlike(of_a, of_b, block=None, names=("A", "B")):
    """How unlike the shares of the second roll are, of replicates of A and B."""
    second = np.array([*of_a, *of_b], dtype=float)
    side = [names[0]] * len(of_a) + [names[1]] * len(of_b)
    table = np.column_stack([1 - second, second])
    return roll_shares(table, side, *names, rolls=("a", "b"), block=block)


def test_blades_alike_within_each_heat_treatment_differ_by_their_shares():
    found = unlike([0, 0, 0], [0.4, 0.4, 0.4])
    assert found.unlike == pytest.approx(0.4)
    assert_allclose((found.first, found.second), [[1, 0], [0.6, 0.4]])
    # log g of two rolls differ by sqrt(2) SD, of which the ratio has 0.4
    assert found.sd_log_ratio(0.15) == pytest.approx(0.4 * 0.15 * np.sqrt(2))


def test_a_roll_for_each_heat_treatment_is_wholly_unlike():
    assert unlike([0, 0], [1, 1]).unlike == pytest.approx(1.0)


def test_shares_alike_are_not_unlike():
    assert unlike([0.3, 0.3], [0.3, 0.3]).unlike == 0
    assert unlike([0, 1], [1, 0]).unlike == 0


def test_a_roll_for_each_blade_is_in_their_scatter():
    side = ["A"] * 3 + ["B"] * 3
    rolls = tuple("abcdef")
    assert roll_shares(np.eye(6), side, "A", "B", rolls=rolls).unlike == pytest.approx(0, abs=1e-7)


def test_by_lot_the_scatter_holds_what_is_to_be_expected():
    rng = np.random.default_rng(2)
    squares = []
    for _ in range(1000):
        drawn = rng.integers(0, 2, 8).astype(float)
        table = np.column_stack([1 - drawn, drawn])
        side = np.repeat(["A", "B"], 4)
        difference = drawn[4:].mean() - drawn[:4].mean()
        scatter = sum(drawn[s].var(ddof=1) / 4 for s in (slice(0, 4), slice(4, 8)))
        unlike_now = roll_shares(table, side, "A", "B", rolls=("a", "b")).unlike ** 2
        assert unlike_now == pytest.approx(max(0.0, difference**2 - scatter), abs=1e-9)
        squares.append(difference**2 - scatter)
    assert abs(np.mean(squares)) < 4 * np.std(squares) / np.sqrt(1000)


def test_what_a_block_did_to_all_of_it_is_out_of_the_ratio():
    # Two of A and one of B on roll a, one of A and two of B on roll b, each roll a block.
    of_a, of_b, block = [0, 0, 1], [0, 1, 1], list("aabABB".lower())
    assert unlike(of_a, of_b, block).unlike == pytest.approx(0, abs=1e-7)
    # Within the blocks B alone changed its roll after a quarter.
    assert unlike([0, 0], [0.75, 0.75], list("abab")).unlike == pytest.approx(0.75)


def test_a_block_that_cannot_be_told_from_the_heat_treatment_takes_nothing_out():
    assert unlike([0, 0], [1, 1], list("aabb")).unlike == pytest.approx(1.0)


def test_a_heat_treatment_without_shares_is_not_compared():
    assert unlike([0, 0], []) is None


def test_the_record_is_plain():
    assert RollShares(("a",), (1.0,), (1.0,), 0.0).sd_log_ratio(0.15) == 0
