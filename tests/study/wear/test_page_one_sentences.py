"""Sentences of page 1 from comparisons made by hand: each grade, each open end, each number."""

from math import inf
from types import SimpleNamespace

import pytest

from edgetest.study.wear import page_one as module
from edgetest.study.wear.page_one import page_one
from edgetest.wear.compare.comparison_result import Ratio
from edgetest.wear.compare.layout import BY_READINGS, READINGS_WIDER


def ratio(estimate=1.6, low=1.3, high=2.0, *, level=0.95, method="pooled t", df=4.0):
    return Ratio(estimate, low, high, level, method, df)


def group(name, n=3, blades=None):
    ids = blades or tuple(f"{name}{k}" for k in range(1, n + 1))
    return SimpleNamespace(treatment=name, n=n, blades=ids, replicates=n, counted="blades", parts=1)


class Pair(tuple):
    """(first, second, ratio, verdict) with names, as the comparison's own."""

    first, second = property(lambda self: self[0]), property(lambda self: self[1])
    ratio, verdict = property(lambda self: self[2]), property(lambda self: self[3])
    family, scope = "all pairs", "heat_treatments"


def found(verdict="longer", of=None, *, scope="heat_treatments", reaches=True, groups=None,
          pairs=(), margin=0.1):  # fmt: skip
    practical = SimpleNamespace(
        margin=margin, verdict=verdict, blades_verdict=verdict, level=0.9, reaches_margin=reaches
    )
    groups = groups or (group("low"), group("high"))
    return SimpleNamespace(
        first="low", second="high", ratio=of or ratio(), practical=practical, scope=scope,
        groups=groups, pairs=pairs, look=None, needed=None,
    )  # fmt: skip


@pytest.fixture
def said(monkeypatch):
    monkeypatch.setattr(module, "titles_of", lambda _: {})
    monkeypatch.setattr(module, "titled_comparison", lambda comparison, _: comparison)

    def of(comparison, *, doubts=(), alternatives=(), at_cuts=None, fit=None):
        compared = SimpleNamespace(at_cuts=at_cuts, alternatives=alternatives)
        result = SimpleNamespace(study=None, compared=compared, comparison=comparison,
                                 doubts=doubts, fit=fit)  # fmt: skip
        return page_one(result)

    return of


CHANCE = "If there were no difference, chance alone would show one this clear in at most 1 of 20"


@pytest.mark.parametrize(
    ("comparison", "start"),
    [
        (found(), f"High held its edge about 1.6 times as long as low in this test. {CHANCE}"),
        (found("shorter", ratio(0.625, 0.5, 0.8)),
         "Low held its edge about 1.6 times as long as high in this test."),
        (found(reaches=False), "High held its edge about 1.6 times as long as low in this test; "
                               "it may be by less than 10 %."),
        (found(of=ratio(1.153, 1.1, 1.2)), "High held its edge about 1.15 times as long"),
        (found(of=ratio(1.2, 1.1, 1.3)), "High held its edge about 1.2 times as long"),
        (found(of=ratio(1.449, 1.05, 1.95)), "High held its edge about 1.45 times as long"),
        (found(of=ratio(3.456, 3, 4)), "High held its edge about 3.5 times as long"),
        (found(of=ratio(inf, 2.0, inf)), "High held its edge at least 2.00 times as long as low"),
        (found("no_relevant_difference"),
         "High and low held their edge alike in this test, to within 10 %. If they differed by "
         "10 % or more, at most 1 of 20 such tests would find them alike."),
        (found("cannot_tell"), "This test cannot tell which of high and low holds its edge longer. "
                               "High lasted about 1.6 times as long as low, but chance alone"),
        (found("cannot_tell", ratio(1.09, 0.5, 2.3)),
         "This test cannot tell which of high and low holds its edge longer. High lasted about "
         "1.1 times as long as low"),  # as it stands beside its interval: 1.1 (0.5 to 2.3)
        (found("cannot_tell", ratio(0.5, 0.4, 1.1)),
         "This test cannot tell which of high and low holds its edge longer. Low lasted about "
         "2 times as long as high"),
        (found(scope="batches"), "The batch of high held its edge about 1.6 times as long as the "
                                 "batch of low"),
        (found(of=ratio(level=0.9)), "High held its edge about 1.6 times as long as low in this "
                                     "test. If there were no difference, chance alone would show "
                                     "one this clear in at most 1 of 10"),
    ],
)  # fmt: skip
def test_two_heat_treatments(said, comparison, start):
    assert said(comparison).plain.startswith(start)


@pytest.mark.parametrize("ends", [(0.0, 2.0), (0.5, inf)])
def test_an_open_end_names_nobody_ahead(said, ends):
    plain = said(found("cannot_tell", ratio(1.0, *ends))).plain
    assert plain == "This test cannot tell which of high and low holds its edge longer."


@pytest.mark.parametrize(
    ("doubt", "firm"),
    [(("x", "decides"), False), (("read_early", "limits"), False), (("x", "limits"), True)],
)
def test_a_grave_doubt_takes_the_number_of_chance_away(said, doubt, firm):
    doubts = [SimpleNamespace(code=doubt[0], gravity=doubt[1])]
    for comparison in (found(), found("no_relevant_difference")):
        plain = said(comparison, doubts=doubts).plain
        assert ("such tests" in plain) is firm
        assert plain.endswith("Read the lines below before you rely on it.") is not firm


def test_an_answer_that_hangs_says_on_what(said):
    causes = [
        SimpleNamespace(what=what, decides=decides, stands="", lessens=False)
        for what, decides in (
            ("one blade", True), ("the law", False), ("one reading", True), ("one blade", True)
        )
    ]  # fmt: skip
    plain = said(found(), alternatives=causes).plain
    assert plain == "This test cannot tell: its answer changes with one blade and one reading."
    assert said(found(), alternatives=causes[1:2]).plain.startswith("High held")
    less = SimpleNamespace(what="one reading", decides=False, stands="", lessens=True)
    told = said(found(), alternatives=[less])
    assert "in this test; without one reading it may be by less than 10 %." in told.plain
    assert told.choice.endswith("; without one reading the gain may be under 10 %.")


def test_nothing_compared_says_nothing(said):
    told = said(None)
    assert told.plain.startswith("This test compares no heat treatments")
    assert told.method == ""
    assert told.to_dict()["method"] == ""


ONE = "One blade does not show what its heat treatment does; another blade of it may differ."


@pytest.mark.parametrize(
    ("verdict", "groups", "start"),
    [
        ("longer", (group("low", 1), group("high", 1)), "Blade high1 held its edge about 1.6 times "
                                                        "as long as blade low1 in this test."),
        ("shorter", (group("low", 1), group("high", 1)), "Blade low1 held its edge about 0.62"),
        ("longer", (group("low", 1), group("high", 3)), "The blades of high held their edges about "
                                                        "1.6 times as long as blade low1"),
        ("no_relevant_difference", (group("low", 1), group("high", 1)),
         "Blade high1 and blade low1 held their edge alike in this test, to within 10 %."),
        ("cannot_tell", (group("low", 1), group("high", 1)),
         "This test cannot tell which of blade high1 and blade low1 holds its edge longer."),
        (None, (group("low", 1), group("high", 1)), "This test cannot tell which of"),
    ],
)  # fmt: skip
def test_one_blade_on_a_side_is_said_of_blades(said, verdict, groups, start):
    plain = said(found(verdict, scope="blades", groups=groups)).plain
    assert plain.startswith(start)
    assert plain.endswith(ONE)


THREE = (group("low"), group("high"), group("mid"))


def pairs(**verdicts):
    """Verdict on "second over first" by "first_second", at ratios of 1.5."""
    return tuple(
        Pair((*name.split("_", 1), ratio(1.5), verdict)) for name, verdict in verdicts.items()
    )


@pytest.mark.parametrize(
    ("verdicts", "start"),
    [
        ({"low_high": "longer", "mid_high": "longer", "low_mid": "cannot_tell"},
         "Of 3 heat treatments high came out longest in this test: it outlasts low and mid. "
         f"{CHANCE}"),
        ({"low_high": "longer", "mid_high": "no_relevant_difference", "low_mid": "longer"},
         "Of 3 heat treatments high came out longest in this test: it outlasts low and it is alike "
         "with mid to within 10 %. If there"),
        ({"low_high": "longer", "mid_high": "cannot_tell", "low_mid": "longer"},
         "Of 3 heat treatments high came out longest in this test: it outlasts low and it cannot "
         "be told from mid."),
        ({"low_high": "cannot_tell", "mid_high": "cannot_tell", "low_mid": "longer"},
         "This test cannot tell which of 3 heat treatments holds its edge longest: high came out "
         "longest, but chance alone can do that."),
        ({"low_high": "longer"}, "Of 2 heat treatments that can be compared high came out longest "
                                 "in this test: it outlasts low and of mid too few blades were "
                                 "tested to say."),
        ({"low_high": "cannot_tell"},
         "This test cannot tell which of 2 heat treatments that can be compared holds its edge "
         "longest: high came out longest, but chance alone can do that; of mid too few blades were "
         "tested to say."),
        ({"low_high": "longer", "high_mid": "longer", "mid_low": "longer"},
         "This test cannot tell which of the 3 heat treatments holds its edge longest: too little "
         "is known of the blades."),
    ],
)  # fmt: skip
def test_of_several_the_longest_is_named_with_what_is_sure(said, verdicts, start):
    plain = said(found(groups=THREE, pairs=pairs(**verdicts))).plain
    assert plain.startswith(start)


def test_all_alike_needs_no_word_on_chance(said):
    alike = pairs(low_high="no_relevant_difference", mid_high="no_relevant_difference")
    plain = said(found(groups=THREE, pairs=alike)).plain
    assert plain == (
        "Of 3 heat treatments high came out longest in this test: it is alike with low and mid to "
        "within 10 %."
    )


def test_a_pair_below_one_is_turned(said):
    turned = (Pair(("high", "low", ratio(0.5, 0.4, 0.6), "shorter")),
              Pair(("high", "mid", ratio(0.5, 0.4, 0.6), "cannot_tell")))  # fmt: skip
    plain = said(found(groups=THREE, pairs=turned)).plain
    assert (
        "high came out longest in this test: it outlasts low and it cannot be told from mid"
        in plain
    )


def at_cuts(verdict="second", worn=True, scope="heat_treatments", leads=True):
    measure = SimpleNamespace(when="at {cuts:g} cuts")
    return SimpleNamespace(leads=leads, comparison=found(scope=scope), measure=measure, cuts=200,
                           worn=worn, verdict=verdict, share="4.9 % in edge width")  # fmt: skip


LIVES = "How long each lasts, this test does not tell."


@pytest.mark.parametrize(
    ("at", "plain"),
    [
        (at_cuts(), f"At 200 cuts the edge of high was better than that of low. {LIVES}"),
        (at_cuts("first"), f"At 200 cuts the edge of low was better than that of high. {LIVES}"),
        (
            at_cuts("alike"),
            "At 200 cuts the edges of high and low were alike to within 4.9 % in edge width. "
            f"{LIVES}",
        ),
        (
            at_cuts("cannot_tell"),
            f"This test cannot tell which of high and low wears less. {LIVES}",
        ),
        (at_cuts(worn=False), f"This test cannot tell which of high and low wears less. {LIVES}"),
        (at_cuts(scope="blades"), f"This test cannot tell which of high and low wears less. {ONE}"),
    ],
)
def test_readings_at_equal_cuts_lead_where_lives_are_not_known(said, at, plain):
    assert said(None, at_cuts=at).plain == plain
    assert said(found(), at_cuts=at).plain == plain


def test_equal_cuts_that_do_not_lead_are_not_page_one(said):
    assert said(found(), at_cuts=at_cuts(leads=False)).plain.startswith("High held")


@pytest.mark.parametrize(
    ("of", "said_so"),
    [
        (ratio(), "Student's t with one pooled variance, on logarithms, 4 degrees of freedom; "),
        (ratio(method="Welch t", df=2.345), "Welch's t, on logarithms, 2.35 degrees of freedom; "),
        (
            ratio(method="pooled t, adjusted for all pairs", df=None),
            "Student's t with one pooled variance, adjusted for all pairs, on logarithms; ",
        ),
        *(
            (ratio(method=name, df=inf), "normal, reading uncertainty alone, on logarithms; ")
            for name in (BY_READINGS, READINGS_WIDER)
        ),
        (
            ratio(method=BY_READINGS),
            "Student's t, reading uncertainty alone, on logarithms, 4 degrees of freedom; ",
        ),
        (
            ratio(method="t, blocks weighed, repeated"),
            "Student's t, differences within and between blocks weighed together, as a repeated "
            "confidence interval, on logarithms, 4 degrees of freedom; ",
        ),
        (ratio(method="another way"), "another way, on logarithms, 4 degrees of freedom; "),
    ],
)
def test_the_method_has_its_textbook_s_name(said, of, said_so):
    groups = (group("low", 1), group("high", 3))
    told = said(found(of=of, groups=groups)).method
    assert told == f"How the interval was made: {said_so}1 blade of low, 3 blades of high."
    rests_on = said(found(of=of, groups=groups)).rests_on
    assert rests_on == "It rests on 1 blade of low and 3 blades of high."


def test_a_blade_that_is_known_only_to_last_longer_is_not_counted_as_known(said):
    lives = (("low1", False), ("low2", True), ("low3", None))
    blades = [SimpleNamespace(blade=name, life=beyond is not None and SimpleNamespace(
        low=50.4, beyond_reach=beyond)) for name, beyond in lives]  # fmt: skip
    assert said(found(), fit=SimpleNamespace(blades=blades)).rests_on == (
        "It rests on 3 blades of low (known only to last longer: low2 over 50 cuts) and "
        "3 blades of high."
    )


def test_a_ratio_of_one_is_as_long_and_not_one_times_as_long(said):
    assert "lasted about as long as" in said(found("cannot_tell", ratio(1.0, 0.7, 1.4))).plain


def test_without_an_interval_there_is_no_method(said):
    assert said(found("cannot_tell", ratio(1.0, 0.0, inf))).method == ""
    assert said(found(of=ratio(inf, 2.0, inf))).method != ""
    assert said(found("shorter", of=ratio(0.1, 0.0, 0.5))).method != ""
