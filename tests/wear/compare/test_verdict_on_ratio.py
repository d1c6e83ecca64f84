"""Verdicts at their borders, in words, and the number of blades that would settle it."""

import re
from math import log

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import nct, norm
from scipy.stats import t as student

from edgetest.wear.compare.verdict_on_ratio import (
    MOST_BLADES,
    BladesNeeded,
    Seen,
    blades_to_settle,
    chance_to_settle,
    needed_fact,
    needed_sentence,
    verdict_between,
    verdict_sentence,
)
from edgetest.wear.plan.looks_plan import plan_looks

EDGE = log(1.1)


@pytest.mark.parametrize(
    ("wide", "narrow", "verdict"),
    [
        ((0.01, 0.3), (0.03, 0.28), "longer"),
        ((-0.3, -0.01), (-0.28, -0.03), "shorter"),
        ((-0.01, 0.3), (0.01, 0.28), "cannot_tell"),
        ((-0.3, 0.01), (-0.28, -0.01), "cannot_tell"),
        ((-0.2, 0.2), (-EDGE + 1e-9, EDGE - 1e-9), "no_relevant_difference"),
        ((0.01, 0.09), (0.02, 0.08), "no_relevant_difference"),
        ((-0.2, 0.2), (-EDGE - 1e-9, 0.05), "cannot_tell"),
        ((-0.2, 0.2), (-0.05, EDGE + 1e-9), "cannot_tell"),
    ],
)
def test_the_verdict_follows_from_both_intervals(wide, narrow, verdict):
    assert verdict_between(wide, narrow, 0.10) == verdict


def test_the_words_name_the_longer_one_and_the_margin():
    assert verdict_sentence("longer", "hard", "soft", 0.1, True) == (
        "hard holds its edge longer than soft, by more than 10 %."
    )
    assert verdict_sentence("shorter", "hard", "soft", 0.2) == (
        "soft holds its edge longer than hard; whether by more than 20 % is not settled."
    )
    assert "alike to within 10 %" in verdict_sentence("no_relevant_difference", "a", "b", 0.1)
    assert verdict_sentence("cannot_tell", "a", "b", 0.1).startswith("Cannot tell yet")
    many = needed_sentence(BladesNeeded(12, 8, None, "verdict"))
    assert "About 12 blades a side in all (somewhere from 8 to many more)" in many
    assert "(`edgetest plan STUDY --looks --most 12 --history STUDY`), with the ratio that" in many
    assert "would allow a claim" in needed_sentence(BladesNeeded(3, 2, 5, "claim"))
    assert "More blades than a shop will make" in needed_sentence(
        BladesNeeded(None, None, None, "verdict")
    )


def test_more_blades_of_one_batch_each_settle_nothing_about_the_heat_treatments():
    said = needed_sentence(BladesNeeded(9, 4, 55, "verdict"), scope="batches")
    assert said == (
        "About 9 blades a side in all (somewhere from 4 to 55), of the same batches, would tell "
        "these batches apart; only blades from more batches tell of the heat treatments."
    )
    lots = needed_sentence(BladesNeeded(9, 4, 55, "verdict"), scope="blocks")
    assert "only blades of each in every block" in lots
    assert "settle" not in said + lots


@pytest.mark.parametrize("blades", [3, 4, pytest.param(40, marks=pytest.mark.slow), 41, 42, 400])
def test_the_looks_that_are_advised_are_ones_that_a_plan_takes(blades):
    said = needed_sentence(BladesNeeded(blades, 2, None, "verdict"))
    asked = [int(number) for number in re.findall(r"--most (\d+)", said)]
    assert asked == ([max(blades, 4)] if blades <= 40 else [])
    for most in asked:
        assert plan_looks(1.25, 0.2, most=most).looks.boundary.most == most
    assert ("a new study" in said) is (blades > 40)


@pytest.mark.parametrize("in_blocks", [False, True])
def test_the_chance_is_the_noncentral_t_s_or_that_of_two_one_sided_tests(in_blocks):
    n, sd = 8, 0.12
    df, se = (7 if in_blocks else 14), sd * (2 / 8) ** 0.5
    far = chance_to_settle(n, 0.3, sd, 0.1, in_blocks=in_blocks)
    assert_allclose(far, nct.sf(student.ppf(0.975, df), df, 0.3 / se), rtol=1e-5)
    assert_allclose(chance_to_settle(n, -0.3, sd, 0.1, in_blocks=in_blocks), far)
    near = chance_to_settle(n, 0.01, 0.04, 0.1, in_blocks=in_blocks)
    se = 0.04 * 0.5
    room = EDGE - student.ppf(0.95, df) * se
    same = norm.cdf((room - 0.01) / se) - norm.cdf((-room - 0.01) / se)
    assert_allclose(near, same, rtol=1e-9)
    assert chance_to_settle(400, 9.0, 0.1, 0.1) == 1.0


def test_blades_needed_give_that_chance_for_a_scatter_that_is_known():
    """With scatter and difference all but known, the number is the power's own."""
    found = blades_to_settle(Seen(0.2, 1e-9, 0.12, 1e7), 0.10)
    grid = np.arange(2, 60)
    enough = grid[chance_to_settle(grid, 0.2, 0.12, 0.10) >= 0.8][0]
    assert found.low == found.per_side == found.high
    assert enough <= found.per_side <= 1.12 * enough
    assert found.purpose == "verdict"
    assert blades_to_settle(Seen(0.2, 1e-9, 0.12, 1e7), 0.10, at_least=40).per_side == 40
    wide = blades_to_settle(Seen(0.2, 0.08, 0.12, 4.0), 0.10)
    assert wide.low < wide.per_side
    assert wide.high is None or wide.high > wide.per_side
    never = blades_to_settle(Seen(0.095, 1e-9, 0.6, 1e7), 0.10)
    assert never.per_side is None
    assert MOST_BLADES == 400


def test_what_is_needed_is_told_in_what_was_counted():
    needed = BladesNeeded(5, 3, 9, purpose="verdict")
    assert needed_sentence(needed, "batches").startswith("About 5 batches a side in all")
    assert needed_sentence(needed, margin=0.2).startswith(
        "About 5 blades a side in all (somewhere from 3 to 9) would settle which lasts longer, or "
        "that both are alike to within 20 %, if new ones differ as these did. Fix looks"
    )


def test_a_control_blade_is_advised_for_several_rolls_alone():
    said = needed_fact(BladesNeeded(None, None, None, purpose="verdict"))
    assert "better readings help more" in said
    assert "where the test takes several rolls or boards, a control blade on each" in said
