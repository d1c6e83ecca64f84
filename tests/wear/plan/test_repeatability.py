"""Repeatability, outliers, shop history, edge angles."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.special import ndtri

from edgetest.errors import UnusableInput
from edgetest.stats.outliers import grubbs, name_outliers
from edgetest.wear.compare.angle_share import angle_share
from edgetest.wear.compare.shop_history import learn_scatter, moderated_t
from edgetest.wear.plan.repeatability import repeatability
from tests.wear.columns import codes


def test_relative_spread_does_not_depend_on_the_unit():
    value, who = [10.0, 10.4, 9.9, 11.0, 11.3, 10.8], list("aaabbb")
    micrometres = repeatability(value, who, relative=True)
    pixels = repeatability(np.array(value) / 0.5, who, relative=True)
    assert_allclose(pixels.sd_reproduce, micrometres.sd_reproduce, rtol=1e-12)
    assert_allclose(pixels.mean, 2 * micrometres.mean, rtol=1e-12)


def test_one_person_is_repeatability_only():
    found = repeatability([10.0, 10.2, 9.9])
    assert codes(found) == ("one_set_up",)
    assert found.sd_between == 0
    assert found.sd_reproduce == found.sd_repeat
    json.dumps(found.to_dict(), allow_nan=False)


def test_readings_that_never_differ_tell_no_spread():
    with pytest.raises(UnusableInput, match="all 6 readings are the same"):
        repeatability([7.5] * 6, relative=True)
    with pytest.raises(UnusableInput, match="of one edge and set-up are the same"):
        repeatability([7.5, 7.5, 8.0, 8.0], list("aabb"))


@pytest.mark.parametrize("relative", [True, False])
def test_a_step_that_hides_the_spread_is_told_and_its_rounding_taken(relative):
    """JCGM 100:2008, F.2.2.1: the variance of a reading rounded to a step is step² / 12."""
    seldom = [7.5] * 12 + [8.75]
    found = repeatability(seldom, relative=relative)
    least = 1.25 / np.sqrt(12)
    if relative:
        least /= np.exp(np.mean(np.log(seldom)))
    assert "read_in_steps" in codes(found)
    assert_allclose(found.sd_repeat, least, rtol=1e-12)
    assert found.sd_repeat_low < least < found.sd_repeat_high
    often = repeatability([7.5] * 5 + [6.25, 6.25, 8.75], relative=relative)  # half a step and more
    assert "read_in_steps" not in codes(often)


def test_set_ups_that_agree_have_no_spread_of_their_own():
    found = repeatability([1.0, 2.0, 1.1, 1.9, 1.0, 2.0], list("aabbcc"))
    assert "set_ups_agree" in codes(found)
    assert found.sd_between == 0


def test_a_set_up_that_scatters_more_is_named():
    rng = np.random.default_rng(1)
    value = np.r_[rng.normal(10, 0.1, 12), rng.normal(10, 1.5, 4)]
    assert "set_up_scatters_more" in codes(repeatability(value, np.repeat(list("abcd"), 4)))


def test_a_set_up_with_another_scale_is_named():
    rng = np.random.default_rng(1)
    value = rng.normal(10, 0.05, 24) + np.repeat([0, 0, 0, 0, 0, 2.0], 4)
    assert "set_up_stands_out" in codes(repeatability(value, np.repeat(list("abcdef"), 4)))


@pytest.mark.parametrize(
    ("value", "who", "message"),
    [
        ([1.0, 2.0], ["a", "b"], "at least twice by one set-up"),
        ([1.0, np.nan], ["a", "a"], "no number"),
        ([1.0, 2.0], ["a"], "1 set-ups for 2 readings"),
    ],
)
def test_unusable_repeats_are_named(value, who, message):
    with pytest.raises(UnusableInput, match=message):
        repeatability(value, who)


def test_grubbs_rejects_a_clean_sample_one_time_in_twenty():
    rng = np.random.default_rng(6)
    hits = [s > c for _, s, c in (grubbs(x) for x in rng.standard_normal((4000, 8)))]
    assert_allclose(np.mean(hits), 0.05, atol=0.011)


def test_outliers_that_hide_each_other_are_both_named():
    value = np.r_[ndtri((np.arange(20) + 0.5) / 20), 6.0, 6.1]
    assert set(name_outliers(value, 4)[0]) == {20, 21}
    assert name_outliers(value[:20], 4)[0] == ()
    with pytest.raises(UnusableInput, match="give 7 or more"):
        name_outliers(value[:6], 4)


def test_even_history_is_worth_more_than_uneven_history():
    even = learn_scatter([0.1] * 10, [4] * 10)
    uneven = learn_scatter([0.03, 0.3] * 5, [4] * 10)
    assert even.df > 3 * uneven.df
    assert_allclose(even.sd_log_life, 0.11, atol=0.015)
    assert learn_scatter([0.1], [2]).df <= 2


def test_history_recovers_the_shops_scatter():
    rng = np.random.default_rng(4)
    sd = 0.12 * np.sqrt(rng.chisquare(4, 400) / 4)
    shop = learn_scatter(sd, [4] * 400)
    assert_allclose(shop.sd_log_life, 0.12, rtol=0.05)
    assert shop.df > 10  # one earlier study alone is worth 2


def test_moderated_scatter_lies_between_the_studys_and_the_shops():
    shop = learn_scatter([0.1, 0.11, 0.09], [4, 4, 4])
    found = moderated_t(0.2, 2 / 3, 0.3**2, 4.0, shop, 0.95)
    assert shop.sd_log_life < found.stderr / np.sqrt(2 / 3) < 0.3
    assert found.df == 4 + shop.df


def test_history_without_a_study_is_named():
    with pytest.raises(UnusableInput, match="0 scatters"):
        learn_scatter([], [])


def test_edge_angles_explain_what_the_worn_wedge_says():
    share = angle_share(list("AABB"), [30, 30, 36, 36], "A", "B", angle_u_deg=0.5, ratio=0.8)
    factor = np.tan(np.radians(15)) / np.tan(np.radians(18))
    assert_allclose(share.factor.value, factor, rtol=1e-12)
    assert_allclose(share.left_over, 0.8 / factor, rtol=1e-12)
    assert share.matters
    assert share.factor.low < factor < share.factor.high
    assert "36.0° included (B) and 30.0° (A)" in share.summary()
    # The interval against brute force.
    rng = np.random.default_rng(2)
    a = np.tan(np.radians(30 + 0.5 * rng.standard_normal((100_000, 2))) / 2)
    b = np.tan(np.radians(36 + 0.5 * rng.standard_normal((100_000, 2))) / 2)
    draws = np.log(a).mean(axis=1) - np.log(b).mean(axis=1)
    half = np.log(share.factor.high / share.factor.value)
    assert_allclose(half, 1.959964 * draws.std(), rtol=0.02)


def test_equal_angles_say_nothing_and_impossible_ones_are_named():
    assert angle_share(list("AB"), [30, 30.5], "A", "B").summary() == ""
    with pytest.raises(UnusableInput, match="200° is no included angle"):
        angle_share(list("AB"), [30, 200], "A", "B")
    with pytest.raises(UnusableInput, match="no edge angle of B"):
        angle_share(list("AB"), [30, np.nan], "A", "B")


def two_edges(seed, sd_small, sd_large, each=6):
    rng = np.random.default_rng(seed)
    small, large = (
        4 + sd_small * rng.standard_normal(each),
        12 + sd_large * rng.standard_normal(each),
    )
    return np.r_[small, large], np.repeat(["narrow", "wide"], each)


def test_edges_of_4_and_12_micrometres_are_not_pooled_without_a_word():
    value, edge = two_edges(1, 0.2, 0.6)
    pooled = repeatability(value, relative=True)
    (said,) = [one for one in pooled.doubts if one.code == "levels_pooled"]
    assert "about 4" in said.text
    assert '"edge"' in said.text
    apart = repeatability(value, level=edge, relative=True)
    assert "levels_pooled" not in codes(apart)
    assert apart.levels == 2
    # 5 % of either edge; pooled as one it would be more than half of the reading.
    assert 0.03 < apart.sd_repeat < 0.08 < 0.4 < pooled.sd_repeat


@pytest.mark.parametrize("n", [4, 6, 10, 20])
def test_readings_of_one_edge_are_seldom_taken_for_several(n):
    rng = np.random.default_rng(n)
    met = sum(
        "levels_pooled" in codes(repeatability(np.exp(0.2 * rng.standard_normal(n))))
        for _ in range(400)
    )
    assert met <= 12  # 1 % or fewer of 400 expected


def test_levels_that_scatter_by_their_unit_are_told_so_where_shares_were_asked_for():
    value, edge = two_edges(2, 0.5, 0.5, each=15)
    relative = repeatability(value, level=edge, relative=True)
    (said,) = [one for one in relative.doubts if one.code == "levels_scatter_differently"]
    assert "--absolute" in said.text
    absolute = repeatability(value, level=edge)
    assert "levels_scatter_differently" not in codes(absolute)
    assert absolute.sd_repeat == pytest.approx(0.5, rel=0.35)


def test_one_edge_alone_does_not_tell_per_cent_from_micrometres():
    value, edge = two_edges(2, 0.5, 0.5, each=15)
    assert "one_edge_read" not in codes(repeatability(value, level=edge, relative=True))
    one = value[edge == edge[0]]
    assert "one_edge_read" in codes(repeatability(one, relative=True))
    assert "one_edge_read" not in codes(repeatability(one))  # in µm it was asked for


def test_levels_are_pooled_by_their_degrees_of_freedom():
    # By hand: within squares 2 * 0.01 and 2 * 0.04 * 2 on 1 and 1 ... two edges, two people each.
    value = [1.0, 1.2, 1.4, 1.6, 5.0, 5.4, 5.0, 5.4]
    found = repeatability(value, list("aabbaabb"), level=list("nnnnwwww"))
    assert found.df_repeat == 4
    assert found.sd_repeat == pytest.approx(((2 * 0.02 + 2 * 0.08) / 4) ** 0.5)
    # Between people: squares 2 * 2 * 0.2² on the narrow edge, none on the wide; two df.
    assert found.sd_between == pytest.approx(max((0.08 - 0.05) / 2, 0) ** 0.5)


@pytest.mark.parametrize(("largest", "told"), [(0.93, False), (0.95, True)])
def test_the_largest_of_three_variances_is_held_against_cochrans_table(largest, told):
    """Cochran's C of three variances of three readings at 1 %: 0.942 (ISO 5725-2, from memory)."""
    spread = np.sqrt(np.array([largest, (1 - largest) / 2, (1 - largest) / 2]))
    value = np.concatenate([10 + s * np.array([-1.0, 0.0, 1.0]) for s in spread])
    found = repeatability(value, np.repeat(list("abc"), 3))
    assert ("set_up_scatters_more" in codes(found)) is told
