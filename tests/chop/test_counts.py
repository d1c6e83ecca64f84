import json

import numpy as np
import pytest
from scipy.stats import t as student

from edgetest.chop.count_design import Billets
from edgetest.chop.counts import compared_alone, fit_counts
from edgetest.errors import UnusableInput
from edgetest.stats.rates import poisson_rate, poisson_ratio
from tests.chop import codes

BLADES = ["A"] * 4 + ["B"] * 4
CHOPS = [20, 25, 18, 30, 30, 28, 41, 35]
AREA = [33.87] * 8


def counts_of(blade, chops, area_cm2, *, against=None, spread="moderated", **columns):
    billets = Billets(blade, chops, area_cm2, **columns)
    return fit_counts(billets, against=against, spread=spread)


def test_rate_and_ratio_are_the_totals_where_nothing_else_is_fitted():
    fit = counts_of(BLADES, CHOPS, AREA)
    a, b = fit.blades
    assert a.chops_per_100_cm2.value == pytest.approx(100 * 93 / (4 * 33.87))
    assert fit.ratios[0].ratio.value == pytest.approx(134 / 93)
    assert fit.ratios[0].first == "B"
    assert fit.ratios[0].quantity == "chops"
    assert b.chops == 134


def test_poisson_spread_gives_the_exact_ratio():
    fit = counts_of(BLADES, CHOPS, AREA, spread="poisson")
    exact = poisson_ratio(134, 4, 93, 4)
    assert fit.ratios[0].ratio.low == pytest.approx(exact.low)
    assert fit.ratios[0].ratio.high == pytest.approx(exact.high)


def test_small_counts_are_never_narrower_than_exact():
    fit = counts_of(["A", "A", "B", "B"], [2, 2, 4, 3], [10.0] * 4)
    exact = poisson_rate(4, 0.2)
    assert fit.blades[0].chops_per_100_cm2.low <= exact.low
    assert fit.blades[0].chops_per_100_cm2.high >= exact.high
    assert "small_counts" in codes(fit)


def test_swapping_the_blades_turns_the_ratio_over():
    one = counts_of(BLADES, CHOPS, AREA, against="A").ratios[0]
    other = counts_of(BLADES, CHOPS, AREA, against="B").ratios[0]
    assert one.ratio.value == pytest.approx(1 / other.ratio.value)
    assert one.ratio.low == pytest.approx(1 / other.ratio.high)
    assert one.probability_less == pytest.approx(1 - other.probability_less)


def test_hard_wood_counts_less_in_reference_wood():
    """Two woods, chops made to grow as hardness to 0.6: the exponent comes back."""
    rng = np.random.default_rng(7)
    hardness = np.tile([1800.0, 6400.0], 30)
    chops = rng.poisson(80 * (hardness / 3200) ** 0.6)
    fit = counts_of(["A"] * 60, chops, [100.0] * 60, hardness_n=hardness)
    assert fit.hardness_exponent.low < 0.6 < fit.hardness_exponent.high
    assert fit.hardness_exponent.high - fit.hardness_exponent.low < 0.15
    rate = fit.blades[0].chops_per_100_cm2
    assert rate.low < 80 < rate.high
    assert "hardness_exponent_assumed" not in codes(fit)


def test_one_wood_far_from_the_reference_widens_the_figure_not_the_ratio():
    near = counts_of(BLADES, CHOPS, AREA, hardness_n=[3200.0] * 8)
    far = counts_of(BLADES, CHOPS, AREA, hardness_n=[8000.0] * 8)

    def width(estimate):
        return np.log(estimate.high / estimate.low)

    assert width(far.blades[0].chops_per_100_cm2) > 1.2 * width(near.blades[0].chops_per_100_cm2)
    assert width(far.ratios[0].ratio) == pytest.approx(width(near.ratios[0].ratio), rel=1e-6)
    assert {"hardness_exponent_assumed", "wood_far_from_reference"} <= set(codes(far))
    # Hardness shared by all billets and known to 20 % enters the figure alone.
    unsure = counts_of(BLADES, CHOPS, AREA, hardness_n=[3200.0] * 8, hardness_sd_log=0.2)
    assert width(unsure.blades[0].chops_per_100_cm2) > width(near.blades[0].chops_per_100_cm2)
    assert unsure.ratios[0].ratio == near.ratios[0].ratio


def test_dulling_is_found_and_the_fresh_figure_is_lower():
    rng = np.random.default_rng(3)
    before = np.arange(0, 400, 20.0)
    chops = rng.poisson(40 * np.exp(0.3 * before / 100))
    fit = counts_of(["A"] * 20, chops, [100.0] * 20, chops_before=before)
    loss = fit.dulling_pct_per_100_chops
    assert loss.low < 100 * (np.exp(0.3) - 1) < loss.high
    (seen,) = [one.text for one in fit.doubts if one.code == "dulling_seen"]
    assert seen.startswith("A took more strokes as the test went on: 3")
    assert "more chops per 100 chops" in seen
    fresh = fit.blades[0].fresh_chops_per_100_cm2
    assert fresh.low < 40 < fresh.high
    assert fresh.value < fit.blades[0].chops_per_100_cm2.value
    late = counts_of(["A"] * 20, chops, [100.0] * 20, chops_before=before + 2000)
    assert late.blades[0].fresh_chops_per_100_cm2 is None


def in_turn(first, second):
    """Two tools on the same pieces in turn (invented counts), each with its own strokes before."""
    blades, counts, before = [], [], []
    for name, own in (("H", first), ("C", second)):
        blades += [name] * len(own)
        counts += own
        before += [sum(own[:i]) for i in range(len(own))]
    return counts_of(blades, counts, [33.87] * len(counts), chops_before=before)


EVEN = [38, 32, 33, 29, 31, 34, 31, 32, 34]


def test_tools_that_dull_unlike_are_told_each_with_its_own_and_none_is_reckoned_fresh():
    fit = in_turn(EVEN, [30, 39, 40, 44, 62, 54, 60, 65, 78])
    (one,) = [each for each in fit.doubts if each.code == "dulling_unlike"]
    assert one.text.startswith(
        "The tools did not dull alike: H 2 % fewer chops per 100 chops (14 % fewer to 10 % more); "
        "C 21 % more chops per 100 chops (14 % more to 28 % more). So one figure for all"
    )
    assert all(each.fresh_chops_per_100_cm2 is None for each in fit.blades)
    assert fit.dulling_words().endswith("of all tools together, which did not dull alike")


def test_tools_that_dull_alike_are_not_told_apart():
    fit = in_turn(EVEN, [40, 36, 38, 35, 37, 36, 39, 38, 37])
    assert "dulling_unlike" not in codes(fit)
    assert fit.blades[0].fresh_chops_per_100_cm2 is not None


def test_pieces_that_part_no_change_of_one_tool_from_the_boards_have_an_answer():
    """Each piece on a board of its own kind: a slope of one tool's own cannot be told."""
    billets = Billets(
        ["H"] * 4 + ["C"] * 3, [9, 8, 9, 9, 12, 12, 12], [14.0] * 7,
        chops_before=[0, 9, 17, 26, 0, 0, 0], board=["a", "b", "c", "d", "a", "b", "c"],
    )  # fmt: skip
    assert "dulling_unlike" not in codes(fit_counts(billets))


def test_boards_take_their_share_of_the_scatter():
    """Interleaved on uneven boards: knowing the boards narrows the ratio."""
    rng = np.random.default_rng(11)
    board = np.repeat(list("pqrst"), 2)
    hard = dict(zip("pqrst", [0.7, 0.85, 1.0, 1.2, 1.4], strict=True))
    blade = np.tile(["A", "B"], 5)
    mean = 60 * np.array([hard[b] for b in board]) * np.where(blade == "A", 1.0, 1.3)
    chops = rng.poisson(mean)
    known = counts_of(blade, chops, [50.0] * 10, board=board).ratios[0].ratio
    mixed = counts_of(blade, chops, [50.0] * 10).ratios[0].ratio
    assert known.low < 1.3 < known.high
    assert known.high / known.low < 0.8 * mixed.high / mixed.low


def test_overdispersed_counts_widen_and_say_so():
    uneven = [10, 60, 20, 90, 15, 70, 12, 95]
    fit = counts_of(["A"] * 8, uneven, [50.0] * 8)
    assert "overdispersed" in codes(fit)
    assert fit.dispersion.used > 10
    exact = poisson_rate(sum(uneven), 4.0)
    assert fit.blades[0].chops_per_100_cm2.high / fit.blades[0].chops_per_100_cm2.low > (
        2 * exact.high / exact.low
    )


def test_even_counts_are_called_even():
    fit = counts_of(["A"] * 8, [50, 51, 49, 50, 50, 52, 48, 50], [50.0] * 8)
    assert "underdispersed" in codes(fit)
    assert fit.dispersion.used < 1


def test_size_out_of_proportion_is_said():
    rng = np.random.default_rng(2)
    area = np.tile([20.0, 80.0], 12)
    chops = rng.poisson(0.9 * area**1.5 / 4)
    fit = counts_of(["A"] * 24, chops, area)
    assert fit.area_exponent.low < 1.5 < fit.area_exponent.high
    assert fit.area_exponent.value == pytest.approx(1.5, abs=0.1)
    assert fit.area_exponent.low < fit.area_exponent.value < fit.area_exponent.high
    assert "prior" not in fit.area_exponent.method
    assert "not_proportional_to_area" in codes(fit)


def test_a_billet_given_up_counts_as_more_than_it_got():
    given_up = counts_of(["A"] * 4, [20, 25, 18, 40], AREA[:4], severed=[True, True, True, False])
    as_if_severed = counts_of(["A"] * 4, [20, 25, 18, 40], AREA[:4])
    left_out = counts_of(["A"] * 3, [20, 25, 18], AREA[:3])
    values = [one.blades[0].chops_per_100_cm2.value for one in (left_out, as_if_severed, given_up)]
    assert values == sorted(values)
    (told,) = [one.text for one in given_up.doubts if one.code == "given_up"]
    assert told.startswith("1 piece was given up still standing, and counts as far as cut")
    two = counts_of(["A"] * 4, [20, 25, 18, 40], AREA[:4], severed=[True, True, False, False])
    (told,) = [one.text for one in two.doubts if one.code == "given_up"]
    assert told.startswith("2 pieces were given up still standing, and count as far as cut")
    half = counts_of(["A"] * 4, [20, 25, 18, 20], AREA[:4], share_cut=[1, 1, 1, 0.5])
    assert half.blades[0].area_cm2 == pytest.approx(3.5 * 33.87)


def test_one_blade_each_speaks_of_these_tools_only():
    treatment = ["x"] * 4 + ["y"] * 4
    fit = counts_of(BLADES, CHOPS, AREA, treatment=treatment)
    (ratio,) = fit.treatments
    (blades,) = fit.ratios
    assert (ratio.first, ratio.second, ratio.scope) == ("y", "x", "tools")
    assert ratio.ratio == blades.ratio
    assert "of these tools only, not of the heat treatments" in ratio.summary()


def test_heat_treatments_have_blades_as_replicates():
    """Many billets cannot make up for blades that differ."""
    rng = np.random.default_rng(5)
    blade = np.repeat(list("ABCDEF"), 20)
    factor = dict(zip("ABCDEF", [0.8, 1.0, 1.3, 0.9, 1.2, 1.5], strict=True))
    chops = rng.poisson(50 * np.array([factor[b] for b in blade]))
    treatment = np.where(np.isin(blade, list("ABC")), "x", "y")
    (ratio,) = counts_of(blade, chops, [50.0] * 120, treatment=treatment).treatments
    logs = np.log([factor[b] for b in "ABCDEF"])
    assert ratio.scope == "heat_treatments"
    assert ratio.df == 4
    assert ratio.ratio.value == pytest.approx(np.exp(logs[3:].mean() - logs[:3].mean()), rel=0.06)
    assert ratio.ratio.low < 1 < ratio.ratio.high


def test_result_is_plain_json_and_a_sentence():
    fit = counts_of(
        BLADES, CHOPS, AREA, hardness_n=[2500.0] * 8, chops_before=[0, 20, 45, 63, 0, 30, 58, 99]
    )
    text = json.dumps(fit.to_dict(), allow_nan=False)
    assert '"probability_less"' in text
    assert list(fit.to_frame()["blade"]) == ["A", "B"]
    assert "chops per 100 cm² of coast Douglas-fir" in fit.summary()
    assert "chops, B over A: 1." in fit.summary()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"chops": [20, 25, 18, 0, 30, 28, 41, 35]}, "chops: billet 4 has 0"),
        ({"area_cm2": [33.87] * 7}, "7 values for 8 billets"),
        ({"area_cm2": [33.87] * 7 + [0]}, "billet 8 has 0"),
        ({"hardness_n": [3200.0] * 7 + [np.nan]}, "hardness_n: billet 8 has nan"),
        ({"share_cut": [1.0] * 7 + [2.0]}, "0.5 is half through"),
        ({"against": "C"}, 'blade "C" was not chopped with'),
        ({"treatment": ["x"] * 3 + ["y"] * 5}, "blade A has the heat treatments x and y"),
        ({"board": ["p"] * 7}, "board: 7 values for 8 billets"),
        ({"spread": "normal"}, "use one of moderated"),
    ],
)
def test_errors_name_the_billet(change, words):
    given = {"blade": BLADES, "chops": CHOPS, "area_cm2": AREA, **change}
    with pytest.raises(UnusableInput, match=words):
        counts_of(given.pop("blade"), given.pop("chops"), given.pop("area_cm2"), **given)


def test_estimated_spread_needs_more_than_one_billet():
    with pytest.raises(UnusableInput, match="nothing to estimate the spread from"):
        counts_of(["A"], [20], [33.87], spread="estimated")


def test_single_run_is_marked_and_wide():
    fit = counts_of(["A"], [30], [33.87])
    assert "single_run" in codes(fit)
    exact = poisson_rate(30, 0.3387)
    assert fit.blades[0].chops_per_100_cm2.high > exact.high


def test_the_doubt_about_the_wood_widens_by_the_power_with_which_chops_follow_it():
    """Variances add: (half / t)² grows by (power of hardness × sd of log hardness)²."""
    chops, sd = [90, 110, 95, 105, 130, 120, 140, 125], 0.3
    near, unsure = (
        counts_of(BLADES, chops, AREA, hardness_n=[4800.0] * 8, hardness_sd_log=u)
        for u in (0.0, sd)
    )
    t = student.ppf(0.975, near.ratios[0].df)
    for i in (0, 1):
        halves = [np.log(f.blades[i].chops_per_100_cm2.high / f.blades[i].chops_per_100_cm2.value)
                  for f in (near, unsure)]  # fmt: skip
        more = (halves[1] / t) ** 2 - (halves[0] / t) ** 2
        assert more == pytest.approx((near.hardness_exponent.value * sd) ** 2, rel=1e-6)


def test_fresh_figures_too_are_widened_by_the_doubt_about_the_wood():
    before = [0, 100, 200, 300, 0, 100, 200, 300]
    near, unsure = (
        counts_of(BLADES, CHOPS, AREA, hardness_n=[3200.0] * 8, hardness_sd_log=u,
                  chops_before=before)
        for u in (0.0, 0.3)
    )  # fmt: skip
    ends = [np.log(fit.blades[0].fresh_chops_per_100_cm2.high) for fit in (near, unsure)]
    assert ends[1] > ends[0] + 0.01


def test_two_blades_against_one_weigh_as_one_half_and_one():
    """Without a prior the log ratio is that of the means, its variance v/2 + v of equal counts."""
    blade, chops = list("AABBCC"), [100] * 6
    fit = counts_of(blade, chops, [10.0] * 6, spread="poisson", treatment=list("xxxxyy"))
    (ratio,) = fit.treatments
    assert (ratio.scope, ratio.blades) == ("tools", (1, 2))
    assert ratio.ratio.value == pytest.approx(1.0)
    half = 1.959964 * np.sqrt(1 / 200 * (1 + 1 / 2))
    assert np.log(ratio.ratio.high) == pytest.approx(half, rel=1e-6)


@pytest.mark.parametrize("dulls", [True, False])
@pytest.mark.parametrize("board", [["a", "b", "c"] * 4, None])
def test_what_is_compared_alone_is_what_stands_in_the_whole_answer(dulls, board):
    chops = [9, 21, 14, 12, 26, 15, 7, 15, 11, 10, 19, 14]
    before = np.concatenate([np.cumsum(each) - each for each in np.reshape(chops, (4, 3))])
    billets = Billets(
        blade=np.repeat(["A", "B", "C", "D"], 3).tolist(),
        chops=chops,
        area_cm2=[20, 41, 30] * 4,
        chops_before=before.tolist() if dulls else None,
        board=board,
        treatment=np.repeat(["one", "one", "two", "two"], 3).tolist(),
    )
    whole = fit_counts(billets, against="B", level=0.9)
    assert compared_alone(billets, against="B", level=0.9) == (whole.ratios, whole.treatments)
    small = Billets(["A"] * 2 + ["B"] * 2, [2, 1, 3, 2], [20, 20, 20, 20])
    assert compared_alone(small)[0] == fit_counts(small).ratios  # not narrower than exact


def test_nine_strokes_are_few_and_ten_are_not():
    fit = counts_of(["A", "A", "B", "B"], [4, 5, 5, 5], [33.87] * 4)
    few = [one.where.blade for one in fit.doubts if one.code == "small_counts"]
    assert few == ["A"]
