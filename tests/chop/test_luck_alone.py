"""Counts more alike than pure counting makes them narrow an interval; what rests on it is told."""

import pytest

from tests.chop import codes
from tests.chop.test_counts import counts_of

# Strokes of two billhooks on seven poles, size by size (invented): 33 beside 46.
FIRST, SECOND = [3, 2, 5, 2, 6, 8, 7], [4, 4, 7, 3, 9, 11, 8]
AREAS = [11.3, 9.6, 14.2, 7.5, 21.2, 28.3, 18.1]


def fit(first, second, areas=AREAS):
    return counts_of(
        ["A"] * len(first) + ["B"] * len(second), first + second, areas * 2, against="B"
    )


def told(result, code):
    return [one.text for one in result.doubts if one.code == code]


def test_a_verdict_that_luck_alone_would_not_give_is_told_with_both_intervals():
    result = fit(FIRST, SECOND)
    (ratio,) = result.ratios
    assert ratio.ratio.high < 1
    (one,) = told(result, "rests_on_even_counts")
    assert "A takes fewer strokes than B counts on" in one
    assert "If they differed as much: 0.72 (0.4" in one
    (note,) = told(result, "underdispersed")
    assert f"(A over B {ratio.ratio.value:.2f} (" in note
    assert ", as pure counting 0.72 (0.4" in note
    assert "a little" not in note


def test_the_other_tool_first_is_told_as_more():
    (one,) = told(fit(SECOND, FIRST), "rests_on_even_counts")
    assert "A takes more strokes than B counts on" in one


@pytest.mark.parametrize("times", [2, 4])
def test_a_verdict_that_luck_alone_gives_too_rests_on_nothing(times):
    result = fit([times * n for n in FIRST], [3 * times * n for n in SECOND])
    assert told(result, "rests_on_even_counts") == []


def test_uneven_counts_are_not_narrowed():
    result = fit([3, 8, 2, 9, 1, 12, 2], SECOND)
    assert not {"rests_on_even_counts", "underdispersed"} & set(codes(result))


def test_one_blade_has_no_ratio_to_tell():
    result = counts_of(["A"] * 8, [50, 51, 49, 50, 50, 52, 48, 50], [50.0] * 8)
    (note,) = told(result, "underdispersed")
    assert "a steady hand. Write the counts" in note


def test_an_interval_that_few_pieces_make_wider_is_not_told_as_narrower():
    result = fit([20, 21, 19], [35, 36, 34], [25.0] * 3)
    (note,) = told(result, "underdispersed")
    assert "narrower" not in note
