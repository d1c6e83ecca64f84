"""The comparison of heat treatments by their blades."""

import json

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.special import stdtr, stdtrit

from edgetest.errors import UnusableInput
from edgetest.wear.compare.compare_lives import compare_lives as compare_blades
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.compare.shop_history import learn_scatter
from edgetest.wear.compare.verdict_on_ratio import chance_to_settle
from tests.wear.columns import codes, compare_lives
from tests.wear.compare.six_blades import SIX, compare, numbers


def test_ratio_is_that_of_the_geometric_means():
    found = compare()
    assert_allclose(found.ratio.estimate, np.exp(SIX[3:].mean() - SIX[:3].mean()), rtol=1e-12)
    assert_allclose(found.groups[1].life.value, np.exp(SIX[3:].mean()), rtol=1e-12)


SIZES = st.sampled_from([(2, 2), (3, 3), (2, 5), (4, 3), (5, 3)])


@settings(max_examples=20, deadline=None)
@given(SIZES, st.integers(0, 10**6))
def test_swapping_the_heat_treatments_inverts_the_ratio(sizes, seed):
    lives = np.random.default_rng(seed).normal(6, 0.2, sum(sizes))
    there = compare(lives, first=sizes[0])
    back = compare(lives, first=sizes[0], reference="B")
    ends = 1 / np.array([back.ratio.estimate, back.ratio.high, back.ratio.low])
    assert_allclose(numbers(there)[:3], ends, rtol=1e-9)
    assert_allclose(numbers(there)[3], 1 - numbers(back)[3], atol=1e-9)
    other = {"longer": "shorter", "shorter": "longer"}
    verdict = back.practical.verdict
    assert there.practical.verdict == other.get(verdict, verdict)
    assert there.blades_needed == back.blades_needed


@settings(max_examples=12, deadline=None)
@given(SIZES, st.integers(0, 10**6))
def test_order_of_rows_and_unit_of_cuts_change_nothing(sizes, seed):
    rng = np.random.default_rng(seed)
    n = sum(sizes)
    lives, se = rng.normal(6, 0.2, n), rng.uniform(0.01, 0.1, n)
    label = np.array(["A"] * sizes[0] + ["B"] * sizes[1])
    names = np.array([f"blade {i}" for i in range(n)])
    order = rng.permutation(n)
    plain = compare_lives(names, label, lives, se, reference="A")
    mixed = compare_lives(names[order], label[order], lives[order], se[order], reference="A")
    metres = compare_lives(names, label, lives + np.log(0.05), se, reference="A")
    assert_allclose(numbers(mixed), numbers(plain), rtol=1e-9)
    assert_allclose(numbers(metres), numbers(plain), rtol=1e-9)


def test_more_readings_of_a_blade_do_not_narrow_the_interval_as_more_blades_do():
    plain = compare(se=np.full(6, 0.06))
    finer = compare(se=np.full(6, 0.03))  # four times the stations
    more = compare(np.r_[SIX[:3], SIX[:3], SIX[3:], SIX[3:]], np.full(12, 0.06), first=6)
    assert_allclose(numbers(finer), numbers(plain), rtol=1e-12)
    widths = [np.log(x.ratio.high / x.ratio.low) for x in (plain, more)]
    assert widths[1] < 0.65 * widths[0]


def test_runs_of_one_blade_count_once():
    blade = ["a1", "a1", "a1", "a2", "b1", "b2"]
    lives = [6.0, 6.1, 6.2, 6.3, 6.5, 6.6]
    found = compare_lives(blade, ["A"] * 4 + ["B"] * 2, lives)
    assert "runs_averaged" in codes(found)
    assert [group.n for group in found.groups] == [2, 2]
    once = compare_lives(["a1", "a2", "b1", "b2"], list("AABB"), [6.1, 6.3, 6.5, 6.6])
    assert_allclose(numbers(found), numbers(once), rtol=1e-12)


def test_one_blade_each_speaks_of_the_blades_only():
    found = compare(SIX[[0, 3]], [0.03, 0.04], first=1)
    half_width = 1.959963984540054 * 0.05
    assert found.scope == "blades"
    assert "one_blade_per_treatment" in codes(found)
    assert_allclose(np.log(found.ratio.high / found.ratio.estimate), half_width, rtol=1e-9)
    assert found.probability_longer is None
    assert found.ratio.df is None
    assert found.blades_needed >= 2
    assert "about these blades, not about the heat treatments" in found.summary()


def test_one_blade_without_uncertainty_says_nothing():
    found = compare(SIX[[0, 3]], first=1)
    assert found.to_dict()["ratio"]["high"] is None
    assert found.practical.verdict == "cannot_tell"


def test_balanced_groups_share_a_scatter_and_unbalanced_ones_do_not():
    assert compare().ratio.method == "pooled t"
    assert compare(SIX[:5], first=3).ratio.method == "t with guarded df"
    assert compare(np.r_[SIX, 6.3], first=3).ratio.method == "Welch t"


def test_guarded_interval_stays_between_the_two_groups_degrees_of_freedom():
    found = compare(SIX[:5], first=3)
    assert 1 <= found.ratio.df <= 2
    assert "unbalanced" in codes(found)


def test_both_intervals_where_the_rules_disagree():
    lives = [6.0, 6.30, 6.40, 6.41, 6.42, 6.43, 6.44]
    found = compare(lives, first=2)
    assert found.practical.verdict == "cannot_tell"
    assert "intervals_disagree" in codes(found)
    assert found.other_interval.method == "pooled t"
    assert found.other_interval.low > 1


def test_blades_in_pairs_take_the_medium_out():
    roll = np.array([0.0, 0.4, -0.3])
    lives = np.r_[6 + roll, 6.2 + roll + [0.01, -0.01, 0.0]]
    blocks = ["roll 1", "roll 2", "roll 3"] * 2
    found = compare(lives, block=blocks)
    assert found.ratio.method == "t within blocks"
    assert found.ratio.df == 2
    assert found.practical.verdict == "longer"
    assert compare(lives).practical.verdict == "cannot_tell"


def test_one_batch_a_heat_treatment_cannot_be_told_from_it():
    found = compare(batch=["q1"] * 3 + ["q2"] * 3)
    assert found.scope == "batches"
    assert "batch_confounded" in codes(found)
    assert found.summary().startswith("The batch of B lasts")


def test_batches_of_several_blades_are_the_replicates():
    lives = [6.0, 6.02, 6.2, 6.22, 6.4, 6.42, 6.6, 6.62]
    found = compare(lives, first=4, batch=["1", "1", "2", "2", "3", "3", "4", "4"])
    assert "batches_are_replicates" in codes(found)
    means = compare([6.01, 6.21, 6.41, 6.61], first=2)
    assert_allclose(numbers(found), numbers(means), rtol=1e-12)
    assert [group.n for group in found.groups] == [4, 4]


def test_where_batches_count_the_words_speak_of_batches():
    found = compare(SIX * 1.0, first=3, batch=["1", "1", "2", "3", "4", "4"])
    assert [(group.n, group.replicates, group.counted) for group in found.groups] == [
        (3, 2, "batches")
    ] * 2
    few = next(one.text for one in found.doubts if one.code == "few_blades")
    assert few.startswith("With two batches of each heat treatment the scatter between batches")
    assert few.endswith("A third batch of each helps most.")
    assert " blades a side" not in found.summary()


def test_a_batch_shared_by_both_heat_treatments_is_a_block():
    found = compare(batch=["1", "2", "3"] * 2)
    assert found.ratio.method == "t within blocks"
    assert found.scope == "heat_treatments"


def test_several_heat_treatments_come_with_adjusted_pairs():
    rng = np.random.default_rng(4)
    lives = rng.normal(6, 0.1, 12) + np.repeat([0, 0.1, 0.2, 0.4], 3)
    found = compare_lives(range(12), np.repeat(list("ABCD"), 3), lives)
    assert (found.first, found.second) == ("A", "D")
    families = [pair.family for pair in found.pairs]
    assert families == ["all pairs"] * 6 + ["against A"] * 3
    alone = compare_lives(range(6), np.repeat(list("AD"), 3), lives[[0, 1, 2, 9, 10, 11]])
    against = next(p for p in found.pairs if (p.second, p.family) == ("D", "against A"))
    everything = next(p for p in found.pairs if (p.first, p.second) == ("A", "D"))
    assert against.ratio == found.ratio
    # All pairs cost more than each against one.
    assert everything.ratio.low < against.ratio.low
    assert alone.ratio.df == 4
    assert found.ratio.df == 8


def test_choosing_the_farthest_of_several_costs_some_certainty():
    lives = np.log([400, 460, 415, 405, 425, 410, 470, 440, 452.0])
    found = compare_lives(range(9), np.repeat(list("ABC"), 3), lives)
    groups = lives.reshape(3, 3)
    stderr = np.sqrt(groups.var(axis=1, ddof=1).mean() * 2 / 3)
    alone = stdtr(6, (groups[2].mean() - groups[0].mean()) / stderr)
    assert found.second == "C"
    assert alone - 0.2 < found.probability_longer < alone - 0.05


def test_what_nine_of_ten_blades_last_comes_from_eight_blades_on():
    lives = np.random.default_rng(3).normal(6, 0.1, 16)
    found = compare(lives, first=8)
    bound = found.groups[0].reliable
    assert bound.life < found.groups[0].life.low
    assert "nine of ten such blades last" in found.summary().lower()
    assert compare(lives[1:15], first=7).groups[0].reliable is None


@pytest.mark.parametrize(("sd", "in_pairs", "free"), [(0.1, 0.72, 0.95), (0.15, 0.43, 0.70)])
def test_three_pairs_settle_less_often_than_six_blades_of_one_roll(sd, in_pairs, free):
    rng = np.random.default_rng(4)
    lives = sd * rng.standard_normal((20000, 2, 3)) + np.array([[0.0], [np.log(1.5)]])
    apart = lives[:, 1] - lives[:, 0]
    stderr = apart.std(axis=1, ddof=1) / np.sqrt(3)
    found = (apart.mean(axis=1) - stdtrit(2, 0.975) * stderr > 0).mean()
    told = [float(chance_to_settle(3, np.log(1.5), sd, 0.1, in_blocks=b)) for b in (True, False)]
    assert_allclose(told[0], found, atol=0.01)
    assert_allclose(told, [in_pairs, free], atol=0.07)
    assert told[0] < told[1]


def test_next_blade_is_less_sure_than_the_mean():
    found = compare()
    assert 0.5 < found.probability_next_blade_outlasts < found.probability_longer


def test_equivalence_needs_the_interval_within_the_margin():
    lives = np.log([400, 402, 404, 398, 396, 401, 399, 403.0])
    assert compare(lives, first=4).practical.verdict == "no_relevant_difference"
    assert compare(lives, first=4, margin=0.001).practical.verdict != "no_relevant_difference"


def test_cannot_tell_names_blades_and_their_doubt():
    found = compare(np.log([400, 480, 440, 450, 560, 500.0]))
    needed = found.needed
    assert found.practical.verdict == "cannot_tell"
    assert needed.low <= needed.per_side
    assert needed.per_side > 3
    assert f"About {needed.per_side} blades a side" in found.summary()
    assert compare().blades_needed is None


def test_law_and_scale_that_blades_share_widen_lives_and_cancel_in_the_ratio():
    plain = compare()
    shared = compare(shared_se=0.1, law_u=[0.2] * 6)
    assert_allclose(numbers(shared), numbers(plain), rtol=1e-12)
    assert shared.groups[0].life.high > 1.2 * plain.groups[0].life.high
    apart = compare(law_u=[0.0] * 3 + [0.1] * 3)
    assert apart.ratio.high > plain.ratio.high


def test_several_things_that_the_law_shares_add_their_squares():
    def variance(law_u):
        found = compare(law_u=law_u)
        return (np.log(found.ratio.high / found.ratio.estimate) / found.ratio.df) ** 2

    one, other, none = np.zeros((6, 2)), np.zeros((6, 2)), variance(None)
    one[3:, 0], other[:3, 1] = 0.1, 0.2
    parts = variance(one) - none + variance(other) - none
    assert_allclose(variance(one + other) - none, parts, rtol=1e-9)


def test_an_interval_whose_ends_stand_the_wrong_way_is_named():
    lives = BladeLives(range(2), list("AB"), [6.0, 6.2], [5.9, 6.3])
    with pytest.raises(UnusableInput, match=r"6 to 5\.9 is no interval"):
        compare_blades(lives)


def test_a_blade_without_a_life_is_left_out_and_said():
    found = compare(np.r_[SIX, np.nan])
    (left_out,) = [one for one in found.doubts if one.code == "blade_left_out"]
    assert left_out.where.blade is not None
    assert found.groups[1].n == 3
    assert_allclose(numbers(found), numbers(compare()), rtol=1e-12)


def test_history_stands_beside_the_answer_and_allows_single_blades():
    shop = learn_scatter([0.1, 0.12, 0.09], [4, 4, 4])
    found = compare(np.log([400, 480, 450, 560.0]), first=2, history=shop)
    assert found.ratio == compare(np.log([400, 480, 450, 560.0]), first=2).ratio
    assert found.with_history.df == pytest.approx(2 + shop.df)
    single = compare(SIX[[0, 3]], [0.03, 0.04], first=1, history=shop)
    assert single.scope == "blades"
    assert single.with_history.low < single.ratio.low


def test_history_that_does_not_fit_is_named():
    shop = learn_scatter([0.01] * 8, [4] * 8)
    assert "history_disagrees" in codes(
        compare(np.log([300, 480, 400, 700, 350, 500.0]), history=shop)
    )


def test_identical_lives_are_named_and_do_not_crash():
    found = compare(np.log([400, 400, 400, 500, 500, 500.0]))
    assert "no_scatter" in codes(found)
    assert found.practical.verdict == "cannot_tell"
    known = compare(np.log([400, 400, 400, 500, 500, 500.0]), np.full(6, 0.03))
    assert_allclose(np.log(known.ratio.high / 1.25), 1.959964 * 0.03 * np.sqrt(2 / 3), rtol=1e-6)
    json.dumps(found.to_dict(), allow_nan=False)


def test_result_is_plain_json_with_the_agreed_keys():
    found = json.loads(json.dumps(compare(se=np.full(6, 0.05)).to_dict(), allow_nan=False))
    assert {
        "groups",
        "ratio",
        "probability_longer",
        "probability_next_blade_outlasts",
        "practical",
        "blades_needed",
        "warnings",
        "scope",
        "pairs",
    } <= set(found)
    assert set(found["ratio"]) == {"estimate", "low", "high", "level", "method", "df"}
    assert set(found["groups"][0]["life"]) == {"cuts", "low", "high"}
    assert {"margin", "verdict"} <= set(found["practical"])
    assert list(compare().to_frame()["blades"]) == [3, 3]


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"se": [0.1, 0.1]}, "log_life_se: 2 values for 6 blades"),
        ({"se": [-0.1] * 6}, "-0.1 is no standard uncertainty"),
        ({"reference": "C"}, 'no heat treatment "C"; name one of: A, B'),
        ({"control": "X"}, 'no blade "X" with a life'),
        ({"margin": 0.0}, "0 is no margin"),
        ({"level": 95}, "95 is no level"),
        ({"first": 6}, "1 heat treatment with a life; a comparison needs two"),
        ({"log_life": [np.inf] * 6}, "a log life is infinite"),
    ],
)
def test_unusable_input_is_named(options, message):
    with pytest.raises(UnusableInput, match=message):
        compare(**options)


def test_of_three_heat_treatments_every_pair_is_told_with_its_margin():
    lives = np.log([340, 360, 322, 300, 250, 281, 200, 170, 186.0])
    text = compare_lives(range(9), np.repeat(list("ABC"), 3), lives).summary()
    assert "A lasts 1.84 (" in text
    assert "A lasts 1.23 (" in text
    assert "B lasts 1.49 (1.23 to 1.82) times as long as C" in text
    assert text.endswith("B holds its edge longer than C, by more than 10 %.")
    assert text.count(", adjusted for") == 3


def test_of_lots_the_next_blade_is_one_of_the_lot():
    lives = np.log([340, 360, 331, 210, 230, 214.0])
    found = compare_lives(range(6), list("AAABBB"), lives, block=[1, 1, 1, 2, 2, 2])
    text = found.summary()
    assert "the next blade of the lot of A outlasts the next blade of the lot of B" in text
