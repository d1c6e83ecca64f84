"""The ratio of two tools in each wood by itself, and whether the woods agree on it."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.chop import ratio_by_wood as module
from edgetest.chop.count_design import Billets
from edgetest.chop.counts import compared_alone
from edgetest.chop.ratio_by_wood import ratios_by_wood
from edgetest.errors import UnusableInput

ASH = {"B1": (15, 16, 19, 16, 18, 20), "C1": (20, 21, 24, 24, 27, 25)}
OAK = {"B1": (49, 47, 56, 58, 70, 71), "C1": (50, 43, 60, 66, 61, 67)}
ALIKE = {tool: tuple(3 * n for n in counts) for tool, counts in ASH.items()}


def billets(boards=True, **woods):
    """Pieces of 25 cm² of each wood, two a board, the tools in turn."""
    rows = [
        (tool, counts[tool][n], wood, f"{wood} {n // 2}")
        for wood, counts in woods.items() for n in range(len(counts["B1"]))
        for tool in counts if n < len(counts[tool])
    ]  # fmt: skip
    tool, chops, wood, board = zip(*rows, strict=True)
    return Billets(tool, chops, [25.0] * len(rows), wood=wood, board=board if boards else None)


def found(made, level=0.95):
    pairs, _ = compared_alone(made, against="C1", level=level)
    return ratios_by_wood(made, pairs, level=level)


def test_woods_that_disagree_are_told_apart_each_with_the_ratio_of_its_own_rows():
    (told,) = found(billets(ash=ASH, oak=OAK))
    assert (told.first, told.second, told.apart) == ("B1", "C1", True)
    assert [(one.wood, one.pieces) for one in told.woods] == [("ash", (6, 6)), ("oak", (6, 6))]
    for one, counts in zip(told.woods, (ASH, OAK), strict=True):
        (alone,), _ = compared_alone(billets(**{one.wood: counts}), against="C1")
        assert one.compared.ratio == alone.ratio
    ash, oak = (one.compared.ratio for one in told.woods)
    assert ash.high < 1 < oak.high
    assert oak.low < 1


def test_woods_of_one_ratio_are_not_told_apart():
    (told,) = found(billets(ash=ASH, oak=ALIKE))
    assert not told.apart
    assert told.p > 0.5


@pytest.mark.parametrize("boards", [True, False])
def test_a_wood_harder_for_both_tools_than_its_hardness_says_is_no_difference(boards):
    """Without a level of its own the second wood's strokes fell on one tool: p = 0.01."""
    made = billets(boards, ash=ASH, oak=ALIKE)
    hardness = [3500.0 if wood == "ash" else 3600.0 for wood in made.wood]
    (told,) = found(replace(made, hardness_n=hardness))
    assert told.p > 0.5


def test_a_wood_with_one_piece_of_a_tool_has_no_ratio():
    few = {"B1": (49, 47), "C1": (50,)}
    assert found(billets(ash=ASH, oak=few)) == ()
    (told,) = found(billets(ash=ASH, oak=OAK, elm=few))
    assert [one.wood for one in told.woods] == ["ash", "oak"]


def test_pieces_of_a_wood_that_is_not_known_tell_no_ratio():
    made = billets(ash=ASH, oak=OAK)
    assert found(replace(made, wood=["" if one == "ash" else one for one in made.wood])) == ()
    assert found(replace(made, wood=None)) == ()


def test_woods_that_agree_are_told_apart_seldom_and_those_that_do_not_mostly():
    def share(truth, seeds):
        apart = 0
        for seed in seeds:
            rng = np.random.default_rng(seed)
            woods = {
                wood: {
                    tool: np.maximum(1, np.rint(mean * times * np.exp(rng.normal(0, 0.07, 6))))
                    for tool, times in (("B1", ratio), ("C1", 1.0))
                }
                for (wood, ratio), mean in zip(truth.items(), (20, 55), strict=True)
            }
            apart += found(billets(**woods))[0].apart
        return apart / len(seeds)

    seeds = range(1, 81, 2)
    assert share({"ash": 0.9, "oak": 0.9}, seeds) <= 0.10
    assert share({"ash": 0.8, "oak": 1.0}, seeds) >= 0.5


def test_pieces_that_do_not_part_the_woods_from_the_rest_tell_no_chance(monkeypatch):
    def unparted(*_):
        raise UnusableInput("columns", "design", "chop more")

    monkeypatch.setattr(module, "fit_with", unparted)
    (told,) = found(billets(ash=ASH, oak=OAK))
    assert (told.p, told.apart) == (None, False)
    assert told.to_dict()["p"] is None
