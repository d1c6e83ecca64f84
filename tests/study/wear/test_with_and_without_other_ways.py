"""The other law and the other rule: tried where there is a reason, and only there."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import doubt
from edgetest.study.wear import with_and_without as tried
from edgetest.study.wear.alternative_answers import finding_of
from edgetest.study.wear.without_a_blade import Answered
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.replicates import lives_known
from edgetest.wear.curve.law_choice import LawScore
from edgetest.wear.curve.study_curves import FitOptions


def answered(first, second):
    """A comparison of lives of two heat treatments, each with a reading uncertainty of 1 %."""
    lives = [*first, *second]
    names = [f"S{i}" for i in range(len(first))] + [f"H{i}" for i in range(len(second))]
    groups = ["S"] * len(first) + ["H"] * len(second)
    columns = lives_known(names, groups, np.log(lives), np.full(len(lives), 0.01))
    options = ComparisonOptions()
    return Answered(compare_lives(columns, options), columns, options)


LONGER = answered((98, 101, 103), (131, 136, 140))
ALIKE = answered((80, 101, 133), (83, 111, 140))


def curves(behind, *doubts, blades=6):
    """Curves fitted by the wedge, another law `behind` it in AICc that tells the lives alike."""
    law = SimpleNamespace(doubts=(), life=None)
    scores = [LawScore("wedge, p shared", 7, 0.02, 0.0, 0.0, 0.5),
              LawScore("saturating", 12, 0.02, behind, behind, 0.5)]  # fmt: skip
    asked = []

    def finding(given, *, how):
        asked.append(how.law)
        return finding_of(ALIKE.comparison)

    return SimpleNamespace(
        laws=tuple(sorted(scores, key=lambda score: score.aicc)), asked=asked,
        how=FitOptions(robust=True), finding=finding, against_hand=SimpleNamespace(rows=()),
        fit=SimpleNamespace(doubts=doubts, blades=(law,) * blades),
    )  # fmt: skip


def test_a_law_that_fits_as_well_and_tells_another_verdict_decides():
    found = tried.with_and_without(LONGER, curves(1.0))
    (other,) = found.alternatives
    assert (other.given.verdict, other.verdict) == ("longer", "cannot_tell")
    (told,) = found.doubts
    assert (told.code, told.gravity) == ("law_decides", "decides")
    assert f"By the law “wedge”: H lasts {LONGER.comparison.ratio} times as long" in told.text
    assert "By the law “saturating”: cannot tell which lasts longer." in told.text


def test_a_law_far_behind_is_not_asked_unless_the_law_misfits():
    far = curves(9.0)
    assert tried.with_and_without(LONGER, far).alternatives == ()
    assert far.asked == []
    misfits = curves(9.0, doubt("law_misfits"))
    (told,) = tried.with_and_without(LONGER, misfits).doubts
    assert misfits.asked == ["saturating"]
    assert (told.code, told.gravity) == ("law_misfits", "decides")


def test_with_many_blades_it_is_said_that_no_other_law_was_tried():
    many = curves(1.0, blades=61)
    (told,) = tried.with_and_without(LONGER, many).doubts
    assert (told.code, told.gravity, many.asked) == ("not_tried", "notes", [])


@pytest.mark.parametrize(
    ("first", "second", "decides"),
    [
        ((96, 100, 105), (118, 131, 122), False),  # scatters alike
        ((99.9, 100, 100.1), (104, 129, 150), True),  # one scatters 200 times as much
    ],
)
def test_the_other_rule_decides_only_where_the_scatters_differ(first, second, decides):
    given = answered(first, second)
    other = replace(given.comparison.ratio, low=0.9, high=1.8, method="another rule")
    comparison = replace(
        given.comparison,
        other_interval=other,
        doubts=(doubt("intervals_disagree"),),
        practical=replace(given.comparison.practical, verdict="longer"),
    )
    found = tried.with_and_without(replace(given, comparison=comparison))
    hangs = [one.what for one in found.alternatives]
    assert ("the rule for the scatter" in hangs) == decides


def test_one_blade_a_side_is_asked_nothing():
    assert tried.with_and_without(answered((100,), (140,))) == tried.WithAndWithout()
