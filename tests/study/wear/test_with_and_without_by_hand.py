"""When another rule, another law or the readings alone would say otherwise, at each limit."""

from dataclasses import dataclass, replace
from math import inf, log
from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.doubts import codes, doubt
from edgetest.study.wear import with_and_without as module
from edgetest.study.wear.alternative_answers import Finding
from edgetest.study.wear.with_and_without import with_and_without
from edgetest.study.wear.without_a_blade import _standing_out
from edgetest.wear.compare.comparison_result import Ratio
from edgetest.wear.curve.law_choice import LawScore


def ratio(low, high, method="pooled t"):
    return Ratio((low * high) ** 0.5, low, high, 0.95, method, 4.0)


def groups(small=0.1, large=0.4, n=4):
    return [SimpleNamespace(treatment="low", sd_taken=small, replicates=n),
            SimpleNamespace(treatment="high", sd_taken=large, replicates=n),
            SimpleNamespace(treatment="other", sd_taken=None, replicates=1)]  # fmt: skip


def comparison(verdict="longer", *, other=None, of=None, scope="heat_treatments", why=True,
               margin=0.1):  # fmt: skip
    practical = SimpleNamespace(verdict=verdict, reaches_margin=True, margin=margin)
    told = [doubt("intervals_disagree", other="1 to 2")] if why else []
    return SimpleNamespace(first="low", second="high", ratio=ratio(1.2, 2.0), practical=practical,
                           scope=scope, pairs=(), other_interval=other, doubts=told,
                           groups=of or groups())  # fmt: skip


@dataclass(frozen=True)
class Lives:
    log_low: np.ndarray
    log_high: np.ndarray

    @property
    def blade(self):  # one run each
        return range(len(self.log_low))


@dataclass
class Answered:
    comparison: object
    lives: object = None
    anew: object = None
    asked: object = None

    def again(self, lives):
        self.asked = lives
        return self.anew


@dataclass(frozen=True)
class How:
    law: str
    power: float | None = 2.0


class Curves:
    """Curves of which nothing stands out; `verdict` is that of every other answer."""

    def __init__(self, laws=(), verdict="cannot_tell", *, doubts=(), blades=(None,) * 4):
        self.laws = [LawScore(law, 7, 0.02, aicc, 0.0, 0.5) for law, aicc in laws]
        self.how, self.verdict = How("wedge"), verdict
        self.fit = SimpleNamespace(doubts=doubts, blades=blades)
        self.asked = None

    def finding(self, given, how):
        self.asked = how
        found = self.verdict and Finding("low", "high", ratio(0.9, 2.0), self.verdict, False)
        return found


@pytest.fixture(autouse=True)
def nothing_stands_out(monkeypatch):
    for name in ("without_blade", "without_readings", "without_keen_pictures"):
        monkeypatch.setattr(module, name, lambda *_: ([], []))
    monkeypatch.setattr(module, "doubt", lambda code, **_: SimpleDoubt(code))


@dataclass(frozen=True)
class SimpleDoubt:
    code: str
    text: str = ""
    gravity: str = "limits"


def by_rule(low, high, **more):
    compared = comparison(other=ratio(low, high, "Welch t"), **more)
    return with_and_without(Answered(compared)).alternatives


@pytest.mark.parametrize(
    ("low", "high", "verdict", "reaches"),
    [
        (0.9, 2.0, "cannot_tell", False),
        (1.0, 2.0, "cannot_tell", False),
        (0.5, 0.95, "shorter", False),
        (0.5, 0.9, "shorter", True),  # below 1 / 1.1
        (0.92, 1.09, "no_relevant_difference", False),
        (0.92, 1.1, "cannot_tell", False),
        (0.909, 1.05, "cannot_tell", False),
        (1.01, 1.09, "no_relevant_difference", False),
    ],
)
def test_the_other_rule_s_interval_has_a_verdict_of_its_own(low, high, verdict, reaches):
    (found,) = by_rule(low, high)
    assert (found.verdict, found.other.reaches_margin) == (verdict, reaches)
    assert found.what == "the rule for the scatter"
    assert (found.with_it, found.without) == ("By pooled t", "By Welch t")
    assert found.decides


@pytest.mark.parametrize(
    "more",
    [{"why": False}, {"of": groups(0.1, 0.3045)}, {"of": groups(0.0, 0.0)},
     {"of": groups(None, 0.4)}, {"scope": "blades"}],
)  # fmt: skip
def test_the_other_rule_is_not_asked_where_the_scatters_may_be_alike(more):
    """Of four blades a side F(3, 3) reaches 9.277 one time in ten: 3.046 times the deviation."""
    assert by_rule(0.9, 2.0, **more) == ()


@pytest.mark.parametrize("of", [groups(0.1, 0.305), groups(0.305, 0.1), groups(0.0, 0.1)])
def test_the_other_rule_is_asked_where_they_are_not(of):
    assert len(by_rule(0.9, 2.0, of=of)) == 1
    assert by_rule(1.01, 2.0, of=of) == ()  # the same verdict


def test_without_another_interval_there_is_no_other_rule():
    assert with_and_without(Answered(comparison())).alternatives == ()


def by_law(*laws, doubts=(), verdict="cannot_tell", blades=(None,) * 4):
    curves = Curves(laws, verdict, doubts=doubts, blades=blades)
    curves.fit.blades = [SimpleNamespace(life=None)] * len(blades)
    return with_and_without(Answered(comparison(why=False)), curves), curves


WEDGE, SATURATING = ("wedge, p = 2", 10.0), ("saturating", 12.0)


def test_a_law_that_fits_about_as_well_is_tried():
    found, curves = by_law(WEDGE, SATURATING)
    (other,) = found.alternatives
    assert other.what == "the law of wear"
    assert (other.with_it, other.without) == ("By the law “wedge”", "By the law “saturating”")
    assert codes(found.doubts) == ("law_decides",)
    assert curves.asked == How("saturating", None)


@pytest.mark.parametrize(
    "laws",
    [(WEDGE, ("saturating", 12.1)), (WEDGE,), (SATURATING,), ()],
)
def test_a_law_that_fits_worse_or_alone_is_not(laws):
    found, curves = by_law(*laws)
    assert (found.alternatives, curves.asked) == ((), None)


def test_a_law_that_misfits_is_held_against_the_next_however_far():
    told = SimpleDoubt("law_misfits")
    found, _ = by_law(WEDGE, ("saturating", 99.0), doubts=[told])
    assert found.alternatives[0].doubt == told
    same, _ = by_law(WEDGE, ("saturating", 99.0), doubts=[told], verdict="longer")
    none, _ = by_law(WEDGE, ("saturating", 99.0), doubts=[told], verdict=None)
    assert same.alternatives == none.alternatives == ()


def test_of_many_blades_the_other_law_is_not_tried():
    found, curves = by_law(WEDGE, SATURATING, blades=(None,) * 61)
    assert codes(found.doubts) == ("not_tried",)
    assert curves.asked is None
    tried, _ = by_law(WEDGE, SATURATING, blades=(None,) * 60)
    assert len(tried.alternatives) == 1


def life(cuts, last=200.0, *, extrapolated=None, beyond=False):
    past = cuts > last if extrapolated is None else extrapolated
    return SimpleNamespace(cuts=cuts, last_stage=last, beyond_reach=beyond, extrapolated=past)


def by_readings(*lives, verdict="cannot_tell"):
    curves = Curves()
    named = enumerate((*lives, None))
    curves.fit.blades = [SimpleNamespace(blade=f"A{k}", life=one) for k, one in named]
    logs = np.log([one.cuts for one in lives])
    answered = Answered(comparison(why=False), Lives(logs, logs), comparison(verdict, why=False))
    return with_and_without(answered, curves), answered


def test_lives_more_than_a_tenth_beyond_the_last_stage_are_tried_as_bounds():
    found, answered = by_readings(life(150.0), life(221.0), life(230.0, beyond=True))
    (other,) = found.alternatives
    assert not other.decides
    assert (other.with_it, other.without) == ("With the curves drawn on", "By the readings alone")
    assert answered.asked.log_low == pytest.approx([log(150), log(200), log(230)])
    assert answered.asked.log_high.tolist() == [log(150), inf, log(230)]
    assert codes(found.doubts) == ("lives_beyond_readings",)


@pytest.mark.parametrize(
    ("lives", "told"),
    [
        ([life(150.0)], ()),
        ([life(230.0, beyond=True)], ()),
        ([life(219.9)], ("lives_beyond_readings",)),
    ],
)
def test_lives_within_reach_of_the_last_stage_count_as_seen(lives, told):
    found, answered = by_readings(*lives)
    assert (found.alternatives, answered.asked) == ((), None)
    assert codes(found.doubts) == told


def test_the_same_verdict_by_the_readings_alone_is_only_told():
    found, answered = by_readings(life(230.0), verdict="longer")
    assert found.alternatives == ()
    assert answered.asked is not None
    assert codes(found.doubts) == ("lives_beyond_readings",)


def test_where_a_reading_stands_out_neither_blade_nor_rule_is_tried(monkeypatch):
    told = SimpleDoubt("outlying_reading")
    monkeypatch.setattr(module, "without_readings", lambda *_: ([], [told]))
    curves = Curves()
    curves.fit.blades = []
    answered = Answered(comparison(other=ratio(0.9, 2.0)))
    found = with_and_without(answered, curves)
    assert (found.alternatives, found.doubts) == ((), (told,))
    monkeypatch.setattr(module, "without_readings", lambda *_: ([], []))
    assert len(with_and_without(answered, curves).alternatives) == 1


def test_titles_stand_in_the_other_answers():
    compared = comparison(other=ratio(0.9, 2.0, "Welch t"))
    (found,) = with_and_without(Answered(compared), titles={"low": "Low temper"}).alternatives
    assert (found.given.first, found.given.second) == ("Low temper", "high")
    assert replace(found).what == found.what


@pytest.mark.parametrize("counted", ["blades", "batches"])
def test_what_a_hard_roll_did_is_not_told_of_a_blade(counted):
    """Roll 2 is harder; batches that count change nothing of that. Invented lives."""
    rows = [
        ("E", 1, 231),
        ("E", 2, 218),
        ("E", 2, 245),
        ("E", 1, 363),
        ("T", 2, 344),
        ("T", 2, 379),
    ]
    treatment, roll, life = zip(*rows, strict=True)
    told = SimpleNamespace(
        blade=[f"{name}{k}" for k, name in enumerate(treatment)], treatment=treatment,
        block=[f"roll {number}" for number in roll], log_low=np.log(life), log_high=np.log(life),
    )  # fmt: skip
    groups = (SimpleNamespace(counted=counted),)
    answered = SimpleNamespace(
        lives=told, options=SimpleNamespace(control=""), comparison=SimpleNamespace(groups=groups)
    )
    assert _standing_out(answered) is None
    told.block = None  # of one roll that life would lie apart
    assert _standing_out(answered).where.blade == "E3"
