"""Another answer in words: the longer one first, whichever way the comparison stood."""

from types import SimpleNamespace

import pytest

from edgetest.doubts import doubt
from edgetest.study.wear.alternative_answers import Alternative, Finding, changed, finding_of
from edgetest.wear.compare.comparison_result import Ratio


def ratio(low=1.2, high=2.0):
    return Ratio((low * high) ** 0.5, low, high, 0.95, "pooled t", 4.0)


def finding(verdict="longer", of=None, says=""):
    return Finding("low", "high", of or ratio(), verdict, True, says)


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (finding(), f"high lasts {ratio()} times as long as low"),
        (finding("shorter", ratio(0.5, 0.8)), f"low lasts {ratio(1.25, 2)} times as long as high"),
        (finding("no_relevant_difference"), f"no relevant difference, {ratio()}"),
        (finding("cannot_tell"), "cannot tell which lasts longer"),
        (finding("cannot_tell", says="x"), "cannot tell which is the better"),
        (finding("second_is_better", says="{second} beats {first}"), "high beats low"),
    ],
)
def test_a_finding_in_a_few_words(found, said):
    assert found.summary() == said


def test_a_table_says_the_verdict():
    assert finding("second_is_better").verdict_words() == "high is the better"
    assert finding("first_is_better").verdict_words() == "low is the better"
    assert finding("cannot_tell").verdict_words() == "cannot tell"


def test_a_finding_is_turned_so_that_the_longer_one_stands_above():
    below = finding("shorter", ratio(0.5, 0.8)).turned()
    assert (below.first, below.second, below.verdict) == ("high", "low", "longer")
    assert (below.ratio.low, below.ratio.high) == pytest.approx((1.25, 2.0))
    kept = finding("cannot_tell", ratio(0.5, 1.5)).turned()
    assert (kept.first, kept.verdict) == ("high", "cannot_tell")
    for stays in (finding(), finding("shorter", ratio(0.5, 0.8), "x"), finding(of=ratio(0.5, 2.0))):
        assert stays.turned() is stays


def pair(first, second, low, high, family="against low"):
    return SimpleNamespace(first=first, second=second, ratio=ratio(low, high), verdict="longer",
                           family=family)  # fmt: skip


def compared(*pairs):
    practical = SimpleNamespace(verdict="cannot_tell", reaches_margin=False, margin=0.1)
    return SimpleNamespace(first="low", second="high", ratio=ratio(), practical=practical,
                           pairs=pairs)  # fmt: skip


@pytest.mark.parametrize(
    ("low", "high", "reaches"),
    [(1.1, 2.0, False), (1.101, 2.0, True), (0.5, 0.9, True), (0.5, 0.91, False)],
)
def test_of_another_pair_the_margin_is_worked_out(low, high, reaches):
    found = finding_of(compared(pair("low", "mid", low, high)), "low", "mid")
    assert (found.verdict, found.reaches_margin) == ("longer", reaches)


def test_the_headline_s_pair_has_the_verdict_of_the_comparison():
    assert finding_of(compared()).verdict == "cannot_tell"
    assert not finding_of(compared(), "low", "high").reaches_margin
    assert finding_of(compared(pair("low", "mid", 1, 2, "all pairs")), "low", "mid") is None
    assert finding_of(compared(), "low", "mid") is None
    assert finding_of(compared(pair("low", "mid", 1, 2)), None, "mid").second == "mid"


def test_a_pair_told_the_other_way_round_is_the_same_pair():
    """The log's first blade decides which comes first there, and it may be left out."""
    found = finding_of(compared(pair("mid", "low", 1.25, 2)), "low", "mid")
    assert (found.first, found.second, found.verdict) == ("low", "mid", "shorter")
    assert (found.ratio.low, found.ratio.high) == (0.5, 0.8)
    turned = finding_of(compared(), "high", "low")
    assert (turned.first, turned.verdict) == ("high", "cannot_tell")
    assert turned.ratio.estimate == pytest.approx(1 / ratio().estimate)


def test_only_another_verdict_is_a_change():
    assert changed(finding(), finding("cannot_tell"))
    assert not changed(finding(), finding())
    assert not changed(finding(), None)


@pytest.mark.parametrize("decides", [True, False])
def test_a_doubt_tells_both_answers_with_the_gravity_that_they_give_it(decides):
    about = doubt("invented")
    one = Alternative("one reading", finding(), finding("cannot_tell"), about, decides=decides)
    told = one.told()
    both = f"With it: high lasts {ratio()} times as long as low. Without it: cannot tell which"
    assert told.text.startswith(f"{about.text} {both}")
    assert told.gravity == ("decides" if decides else about.gravity)
    assert one.to_dict()["decides"] is decides
    assert [opening for opening, _ in one.rows()] == ["With it", "Without it"]
