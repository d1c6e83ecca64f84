"""A verdict that hangs on the weights or the margin that were asked for says so."""

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.study.wear.alternative_answers import finding_of
from edgetest.study.wear.asked_otherwise import asked_otherwise
from edgetest.study.wear.without_a_blade import Answered
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.replicates import lives_known

# 1.2 times as long, by more than 10 % for sure.
LIVES = {"A": (200, 190, 210, 204), "B": (240, 228, 252, 246)}
TITLES = {"A": "soft", "B": "hard"}


def answered(margin=0.10, lives=LIVES):
    names = [f"{side}{i}" for side, each in lives.items() for i in range(len(each))]
    logs = np.log([life for of in lives.values() for life in of])
    columns = lives_known(names, [name[0] for name in names], logs)
    options = ComparisonOptions(margin=margin)
    return Answered(compare_lives(columns, options), columns, options)


def curves(other, robust=True):
    """Curves whose readings at full weight lead to another answer."""

    def finding(given, how):
        assert not how.robust
        return finding_of(other.comparison, given.first, given.second)

    return SimpleNamespace(how=How(robust), finding=finding)


@dataclass(frozen=True)
class How:
    """How curves are fitted."""

    robust: bool


@pytest.mark.parametrize("margin", [0.05, 0.10, 0.15])
def test_a_margin_by_which_something_else_is_settled_is_told(margin):
    assert answered().comparison.practical.reaches_margin
    near = {"A": LIVES["A"], "B": (232, 220, 244, 237)}
    told = asked_otherwise(answered(margin, near), None, TITLES)
    if margin != 0.05:
        assert told == []
        return
    (one,) = told
    assert one.text.startswith("By the usual margin of 10 %: hard lasts 1.16")
    assert "as long as soft, and whether by more than 10 % is not settled." in one.text


def test_weights_by_which_another_verdict_is_found_are_told():
    alike = answered(lives={"A": (200, 150, 260, 204), "B": (240, 180, 300, 246)})
    (one,) = asked_otherwise(answered(), curves(alike), TITLES)
    assert one.text.startswith(
        "With every reading at its full weight: cannot tell which lasts longer."
    )
    assert asked_otherwise(answered(), curves(answered()), TITLES) == []
    assert asked_otherwise(answered(), curves(alike, robust=False), TITLES) == []
