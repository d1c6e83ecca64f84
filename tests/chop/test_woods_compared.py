"""Two tools in each wood by itself: its lines, and its JSON."""

import pytest

from edgetest.chop.count_results import BladeRatio
from edgetest.chop.woods_compared import WOODS_APART, RatioByWood, RatioInWood
from edgetest.estimate import Estimate


def by_wood(p):
    woods = [
        RatioInWood(wood, (6, 7), BladeRatio("B1", "C1", f"chops in {wood}",
                                             Estimate(*ends, ""), 0.9, "blades", 12.0))
        for wood, ends in (("ash", (0.76, 0.65, 0.88)), ("oak", (1.05, 0.90, 1.23)))
    ]  # fmt: skip
    return RatioByWood("B1", "C1", tuple(woods), p)


OWN = [
    "chops in ash, B1 over C1: 0.76 (0.65 to 0.88); B1 takes fewer strokes",
    "chops in oak, B1 over C1: 1.05 (0.90 to 1.23); the two cannot be told apart",
]


def test_woods_that_disagree_have_no_number_for_all():
    assert by_wood(0.01).lines() == [
        "chops, B1 over C1: no one number holds for all woods; woods alike would bring that in"
        " fewer than 1 of 20 such tests",
        *OWN,
    ]


def test_woods_that_may_agree_are_told_each_and_that_chance_brings_it():
    last = "wood by wood, B1 over C1: the woods differ no more than chance brings, which does not"
    assert by_wood(0.2).lines() == [*OWN, f"{last} prove them alike"]


def test_what_the_pieces_cannot_part_is_not_told_as_chance():
    assert not by_wood(None).apart
    last = "wood by wood, B1 over C1: whether the woods differ these pieces do not tell"
    assert by_wood(None).lines() == [*OWN, last]


@pytest.mark.parametrize(("p", "apart"), [(WOODS_APART, False), (0.049, True)])
def test_the_json_says_whether_the_woods_are_apart(p, apart):
    told = by_wood(p).to_dict()
    assert (told["p"], told["apart"]) == (p, apart)
    assert told["woods"][0] == {
        "wood": "ash", "pieces": [6, 7], "probability_less": 0.9, "df": 12.0,
        "ratio": Estimate(0.76, 0.65, 0.88, "").to_dict(),
    }  # fmt: skip
