"""In which words and plain values does a comparison answer?"""

from math import exp, inf, log

import pytest

from edgetest.estimate import Estimate
from edgetest.stats.contrast import Bounds, contrast
from edgetest.stats.multiple_comparisons import Family
from edgetest.wear.compare.comparison_result import (
    BETWEEN_ENDS,
    Ratio,
    _one_life,
    exp_or_open,
    ratio_of,
    ratio_sentence,
)


def ratio(estimate, low, high, level=0.95):
    return Ratio(estimate, low, high, level, "t", 4.0)


def test_a_ratio_turned_round_has_its_ends_exchanged():
    turned = ratio(2.0, 1.25, 4.0).inverted()
    assert (turned.estimate, turned.low, turned.high) == (0.5, 0.25, 0.8)
    open_end = ratio(2.0, 0.0, inf).inverted()
    assert (open_end.low, open_end.high) == (0.0, inf)


def test_what_no_float_holds_is_an_open_end():
    assert exp_or_open(0.0, -inf, 699.0) == [1.0, 0.0, exp(699.0)]
    assert exp_or_open(710.0, inf) == [inf, inf]


@pytest.mark.parametrize(
    ("family", "tail"),
    [
        (Family("sidak", 1), ""),
        (Family("sidak", 2), ", adjusted for several groups"),
        (Family("range", 3), ", adjusted for all pairs"),
        (Family("dunnett", 2, (0.5, 0.5)), ", adjusted for several groups"),
    ],
)
def test_a_ratio_names_the_family_that_it_is_adjusted_for(family, tail):
    found = ratio_of(contrast(log(2.0), 0.01, 4.0, 0.95, "pooled t"), 0.95, family)
    assert found.method == "pooled t" + tail
    assert (found.estimate, found.df, found.level) == (pytest.approx(2.0), 4.0, 0.95)
    half = family.quantile(0.95, 4.0) * 0.1
    assert (log(found.high / 2), log(2 / found.low)) == pytest.approx((half, half))


def test_a_ratio_of_bounds_has_no_degrees_of_freedom():
    found = ratio_of(Bounds(log(2.0), inf, 0.1, 0.95), 0.95, Family("sidak", 1))
    assert found.df is None
    assert (found.estimate, found.high) == (inf, inf)
    assert found.low == pytest.approx(2.0 * exp(-1.959964 * 0.1))
    assert found.to_dict()["high"] is None
    assert ratio(0.0, 0.0, 0.5).to_dict()["estimate"] is None
    assert ratio(0.5, 0.4, 0.6).to_dict()["estimate"] == 0.5


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (ratio(inf, 1.234, inf), "at least 1.23"),
        (ratio(0.0, 0.0, 0.812), "at most 0.81"),
        (ratio(inf, 0.0, inf), "not known"),
        (ratio(2.0, 1.5, 2.7), "2.0 (1.5 to 2.7)"),
    ],
)
def test_a_ratio_in_words(found, words):
    assert str(found) == words


@pytest.mark.parametrize(
    ("found", "begins"),
    [
        (ratio(2.0, 1.5, 2.7), "B lasts 2"),
        (ratio(0.5, 0.4, 0.6), "A lasts 2"),
        (ratio(1.0, 0.9, 1.1), "B lasts 1"),
        (ratio(inf, 1.3, inf), "B lasts at least 1.30 times as long as A (95 % interval)."),
        (ratio(0.0, 0.0, 0.5), "A lasts at least 2"),
        (ratio(0.0, 0.0, 1.0), "B lasts at most 1"),
    ],
)
def test_the_longer_one_is_named_first(found, begins):
    assert ratio_sentence(found, "A", "B").startswith(begins)


def test_a_sentence_tells_its_level_and_its_doubt():
    said = ratio_sentence(ratio(2.0, 1.5, 2.7, 0.9), "A", "B", "lasted", ", of runs")
    assert said.startswith("B lasted 2")
    assert said.endswith("times as long as A (90 % interval, of runs).")


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(99.6, inf, "over 99"), (400.0, inf, "over 400"), (99.6, 100.4, "99 to 101"),
     (0.0, 100.4, "under 101"), (80.0, 120.0, "80 to 120")],
)  # fmt: skip
def test_bounds_of_a_life_are_rounded_outwards(low, high, said):
    life = Estimate(inf if high == inf else 90.0, low, high, "cuts", 0.95, BETWEEN_ENDS)
    assert _one_life(life) == said


def test_the_longer_one_is_told_above_the_other():
    assert ratio(1.25, 0.8, 2.0).longer() == ratio(1.25, 0.8, 2.0)
    turned = ratio(0.8, 0.5, 1.25).longer()
    assert (turned.estimate, turned.low, turned.high) == (1.25, 0.8, 2.0)
