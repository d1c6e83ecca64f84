"""The same answer otherwise: which one is longer, in words, and when it is another answer."""

import pytest

from edgetest.study.wear.alternative_answers import Finding, changed
from edgetest.wear.compare.comparison_result import Ratio


def finding(estimate=1.5, low=1.2, high=1.9, verdict="longer", reaches=True, says=""):
    ratio = Ratio(estimate, low, high, 0.95, "t", 4.0)
    return Finding("soft", "hard", ratio, verdict, reaches, says)


def test_the_longer_one_is_put_above_the_other():
    turned = finding(0.5, 0.4, 0.8, "shorter").turned()
    assert (turned.first, turned.second, turned.verdict) == ("hard", "soft", "longer")
    assert turned.ratio.estimate == pytest.approx(2.0)
    assert (turned.ratio.low, turned.ratio.high) == pytest.approx((1.25, 2.5))
    assert finding().turned() == finding()
    assert finding(1.0).turned() == finding(1.0)
    assert finding(0.5, says="{second} cuts less").turned().second == "hard"
    alike = finding(0.98, 0.95, 1.02, "no_relevant_difference").turned()
    assert alike.verdict == "no_relevant_difference"


def test_a_finding_is_told_with_the_longer_one_first():
    assert finding().summary().startswith("hard lasts 1.5")
    assert finding().summary().endswith("times as long as soft")
    shorter = finding(0.5, 0.4, 0.8, "shorter").summary()
    assert shorter.startswith("soft lasts 2.0")
    assert shorter.endswith("times as long as hard")
    assert finding(verdict="cannot_tell").summary() == "cannot tell which lasts longer"
    assert finding(verdict="cannot_tell", says="x").summary() == "cannot tell which is the better"
    assert finding(verdict="no_relevant_difference").summary().startswith("no relevant difference")
    assert finding(says="{second} reads less than {first}").summary() == "hard reads less than soft"


def test_a_verdict_is_named_as_a_table_names_it():
    assert finding(verdict="second_is_better").verdict_words() == "hard is the better"
    assert finding(verdict="first_is_better").verdict_words() == "soft is the better"
    assert finding(verdict="cannot_tell").verdict_words() == "cannot tell"


def test_another_verdict_is_another_answer_and_none_is_one_too():
    assert not changed(finding(), finding())
    assert changed(finding(), finding(verdict="cannot_tell"))
    assert changed(finding(), finding(0.6, 0.4, 0.9, "shorter"))
