"""Studies pooled: against published results and a reference library; intervals that cover."""

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import chi2
from scipy.stats import t as student

from edgetest.errors import UnusableInput
from edgetest.stats.between_studies import FEWER
from edgetest.stats.linked_studies import Ahead, StudyEffects, linked_studies, parts_of
from tests.stats.paule_mandel import iterated

# Nine results of a key comparison, and its consensus by Paule and Mandel: R. Kacker, Metrologia 41
# (2004) 132; the digits as the R package metafor gives them (quoted in statsmodels' own tests).
KACKER = np.array([61.0, 61.4, 62.21, 62.3, 62.34, 62.6, 62.7, 62.84, 65.9])
KACKER_VARIANCE = np.array([0.2025, 1.21, 0.09, 0.2025, 0.3844, 0.5625, 0.0676, 0.0225, 1.8225])


def pairs(effects, variances):
    return [
        StudyEffects(("old", "new"), np.array([effect]), np.array([[variance]]))
        for effect, variance in zip(effects, variances, strict=True)
    ]


def test_consensus_of_a_key_comparison_as_published():
    found = linked_studies(pairs(KACKER, KACKER_VARIANCE))
    one = found.effect("new", "old")
    assert one.log_effect == pytest.approx(62.4076199113286, abs=1e-7)
    assert found.between_sd**2 == pytest.approx(0.705395309224248, abs=1e-7)
    assert one.df == 8
    assert one.studies == 9


@pytest.mark.parametrize("few", [2, 3, 4, 5, 9])
def test_interval_as_by_a_reference_library(few):
    """statsmodels: iterated Paule-Mandel, Hartung-Knapp-Sidik-Jonkman interval, by t."""
    y, v = KACKER[-few:], KACKER_VARIANCE[-few:]
    reference = iterated(y, v, use_t=True)
    found = linked_studies(pairs(y, v))
    one = found.effect("new", "old")
    low, high = reference.conf_int(use_t=True)[3]  # random effects, HKSJ
    factor = max(1.0, reference.scale_hksj_re) / reference.scale_hksj_re
    half = (high - low) / 2 * factor**0.5
    assert found.between_sd**2 == pytest.approx(reference.tau2, rel=1e-6)
    assert one.log_effect == pytest.approx(reference.mean_effect_re, rel=1e-9)
    assert (one.high - one.low) / 2 == pytest.approx(half, rel=1e-6)


def test_interval_of_the_scatter_by_its_definition():
    found = linked_studies(pairs(KACKER, KACKER_VARIANCE))
    for end, quantile in ((found.between_low, 0.975), (found.between_high, 0.025)):
        weight = 1 / (KACKER_VARIANCE + end**2)
        mean = weight @ KACKER / weight.sum()
        squares = weight @ (KACKER - mean) ** 2
        few = 8 * FEWER  # heavy tails leave half
        assert squares == pytest.approx(chi2.ppf(quantile, few) / FEWER, rel=1e-6)


def test_one_study_teaches_nothing_of_the_next():
    found = linked_studies(pairs([0.4], [0.01]))
    one = found.effect("new", "old")
    assert one.log_effect == pytest.approx(0.4)
    assert (one.low, one.high) == (-np.inf, np.inf)
    assert (one.next_low, one.next_high) == (-np.inf, np.inf)
    assert found.between_high == np.inf


def test_a_third_arm_is_reached_through_what_studies_share():
    """Direct and by way of a third, weighted by precision."""
    studies = [
        StudyEffects(("a", "b"), np.array([0.1]), np.array([[0.04]])),
        StudyEffects(("b", "c"), np.array([0.2]), np.array([[0.04]])),
        StudyEffects(("a", "c"), np.array([0.3]), np.array([[0.04]])),
    ]
    one = linked_studies(studies).effect("c", "a")
    assert one.log_effect == pytest.approx(0.3)
    assert one.se**2 == pytest.approx(1 / (1 / 0.04 + 1 / 0.08))
    assert one.studies == 1
    assert one.shares == pytest.approx((0.25, 0.25, 0.5))


def test_the_order_of_arms_and_studies_changes_nothing():
    rng = np.random.default_rng(5)
    studies = [
        StudyEffects(("a", "b", "c"), rng.normal(size=2), np.array([[0.05, 0.02], [0.02, 0.04]])),
        StudyEffects(("c", "a"), rng.normal(size=1), np.array([[0.03]])),
        StudyEffects(("b", "c"), rng.normal(size=1), np.array([[0.03]])),
    ]
    one = linked_studies(studies).effect("b", "a")
    other = linked_studies(studies[::-1], anchor="c").effect("a", "b")
    assert other.log_effect == pytest.approx(-one.log_effect)
    assert other.se == pytest.approx(one.se, rel=1e-6)
    # The first study written against another of its arms: b and c against a, or a and c against b.
    first = studies[0]
    turn = np.array([[-1.0, 0.0], [-1.0, 1.0]])
    turned = StudyEffects(
        ("b", "a", "c"), turn @ first.log_effects, turn @ first.covariance @ turn.T
    )
    again = linked_studies([turned, *studies[1:]]).effect("b", "a")
    assert again.log_effect == pytest.approx(one.log_effect)
    assert again.se == pytest.approx(one.se, rel=1e-6)


@pytest.mark.parametrize(("count", "between_sd"), [(3, 0.3), (3, 0.0), (8, 0.1)])
def test_intervals_cover_from_three_studies_up(count, between_sd):
    rng = np.random.default_rng(100 * count + int(10 * between_sd))
    covered, ahead, trials = 0, 0, 100
    for _ in range(trials):
        variances = rng.uniform(0.004, 0.04, count)
        true = 0.3 + between_sd * rng.normal(size=count + 1)
        seen = true[:-1] + rng.normal(size=count) * variances**0.5
        found = linked_studies(pairs(seen, variances))
        one = found.effect("new", "old")
        covered += one.low <= 0.3 <= one.high
        ahead += one.next_low <= true[-1] <= one.next_high
    assert covered >= 0.9 * trials
    assert ahead >= 0.88 * trials


def test_studies_without_anything_in_common_are_parts():
    assert parts_of([("a", "b"), ("c", "d"), ("b", "e"), ("d", "c")]) == [[0, 2], [1, 3]]
    other = StudyEffects(("c", "d"), np.array([0.1]), np.array([[0.1]]))
    with pytest.raises(UnusableInput, match="share nothing"):
        linked_studies([*pairs([0.1], [0.1]), other])


@pytest.mark.parametrize(
    "study",
    [
        StudyEffects(("a",), np.array([]), np.zeros((0, 0))),
        StudyEffects(("a", "a"), np.array([0.1]), np.array([[0.1]])),
        StudyEffects(("a", "b"), np.array([np.nan]), np.array([[0.1]])),
        StudyEffects(("a", "b"), np.array([0.1]), np.array([[0.0]])),
        StudyEffects(("a", "b"), np.array([0.1, 0.2]), np.array([[0.1]])),
    ],
)
def test_what_is_no_study_is_refused(study):
    with pytest.raises(UnusableInput, match="study 1"):
        linked_studies([study])


def three_arms(b, c):
    """Studies of b and c against the control k, chance within alike."""
    covariance = np.array([[0.002, 0.001], [0.001, 0.002]])
    return [StudyEffects(("k", "b", "c"), np.array(each), covariance)
            for each in zip(b, c, strict=True)]  # fmt: skip


def test_an_arm_made_once_differs_less_in_the_next_study():
    studies = three_arms([0.1, 0.5, 0.3, 0.2], [0.4, 0.1, 0.3, 0.5])
    found = linked_studies(studies, "k", ["k"])
    against_k, pair = found.effect("b", "k"), found.effect("b", "c")
    assert against_k.next_high - against_k.next_low < 0.85 * (pair.next_high - pair.next_low)
    ahead = linked_studies(studies, "k", ["k"], Ahead(steady=0.2))
    wider = ahead.effect("b", "k")
    assert wider.next_high - wider.next_low > 1.2 * (against_k.next_high - against_k.next_low)
    assert (wider.low, wider.high) == (against_k.low, against_k.high)
    assert ahead.effect("b", "c").next_high == pytest.approx(pair.next_high)


def test_an_arm_done_unevenly_is_known_less_well():
    """Its own studies' scatter, by the sandwich of clusters, where the pooled one is smaller."""
    c = np.array([-0.4, 0.4, 0.5, -0.5, 0.0])
    found = linked_studies(three_arms([0.30, 0.31, 0.29, 0.30, 0.30], c), "k", ["k"])
    even, uneven = found.effect("b", "k"), found.effect("c", "k")
    assert uneven.se == pytest.approx((c @ c / 5 / 4) ** 0.5, rel=0.01)
    assert uneven.se > 1.2 * even.se


def test_a_next_study_that_a_factor_of_a_hundred_would_not_hold_is_left_open():
    one = linked_studies(pairs([0.1, 0.9], [0.01, 0.01])).effect("new", "old")
    assert np.isfinite([one.low, one.high]).all()
    assert (one.next_low, one.next_high) == (-np.inf, np.inf)


def test_two_studies_tell_nothing_of_a_next_one():
    two, three = (linked_studies(three_arms([0.1, 0.12, 0.11][:n], [0.3, 0.33, 0.31][:n]))
                  for n in (2, 3))  # fmt: skip
    assert np.isinf([two.effect("b", "k").next_low, two.effect("b", "k").next_high]).all()
    assert np.isfinite([two.effect("b", "k").low, three.effect("b", "k").next_high]).all()


def test_one_more_study_adds_its_precision_and_a_degree_of_freedom():
    """Of two estimates of one mean the variance is the harmonic sum."""
    found = linked_studies(pairs(KACKER, KACKER_VARIANCE))
    before = 1 / (1 / (KACKER_VARIANCE + found.between_sd**2)).sum()
    further = 0.3 + found.between_sd**2
    half = student.ppf(0.95, 9) * (1 / (1 / before + 1 / further)) ** 0.5
    assert found.half_width_with("new", "old", 0.3, level=0.9) == pytest.approx(half)


def test_three_arms_are_no_surer_than_the_studies_that_bear_on_them():
    """The sandwich of Hedges, Tipton and Johnson, a study being a cluster: k / (k - 1)."""
    effects = [(("a", "b"), 0.0), (("a", "b"), 0.8), (("a", "c"), 0.5), (("a", "c"), 0.52)]
    studies = [StudyEffects(arms, np.array([y]), np.array([[0.01]])) for arms, y in effects]
    found = linked_studies(studies)
    uneven, even = found.effect("b", "a"), found.effect("c", "a")
    assert uneven.log_effect == pytest.approx(0.4)
    assert uneven.se**2 == pytest.approx(2 * (0.2**2 + 0.2**2), rel=1e-6)
    assert even.se < uneven.se
    assert even.se**2 == pytest.approx((0.01 + found.between_sd**2) / 2 * found.factor)


def test_an_arm_made_once_differs_hardly_from_study_to_study():
    y = np.array([0.2, 0.5, 0.1, 0.6])
    plain, steady = (linked_studies(pairs(y, [0.01] * 4), steady=s) for s in ((), ("old",)))
    # Of a difference the two arms have half of the variance each; the steady one hardly any.
    ratio = (plain.between_sd / steady.between_sd) ** 2
    assert ratio == pytest.approx((1 + 0.02) / 2, rel=1e-6)
    one, ahead = (
        linked_studies(pairs(y, [0.01] * 4), steady=("old",), ahead=Ahead(a)).effect("new", "old")
        for a in (0.0, 0.09)
    )
    assert ahead.next_high > one.next_high
    assert ahead.high == pytest.approx(one.high)
    unsaid = plain.effect("new", "old", ahead=False)
    assert np.isnan([unsaid.next_low, unsaid.next_high]).all()


def test_the_next_study_s_effect_by_its_definition_step_by_step():
    """Variance between studies from its chi-square, the mean by t, the next study by t with 7."""
    y, df = np.array([0.1, 0.5, 0.6, 0.2, 0.3, 0.45]), 5
    v = np.array([0.01, 0.02, 0.015, 0.01, 0.02, 0.01])
    found = linked_studies(pairs(y, v)).effect("new", "old")

    def fit(between):
        weight = 1 / (v + between)
        mean = weight @ y / weight.sum()
        return mean, 1 / weight.sum(), weight @ (y - mean) ** 2

    few = df / (1 + 3 / 3)  # what tails as heavy as t with 7 degrees of freedom leave of it
    grid = (np.arange(40) + 0.5) / 40
    centres, spreads = [], []
    for share in grid:
        wanted = chi2.ppf(share, few) * df / few
        between = brentq(lambda b, w=wanted: fit(b)[2] - w, 0, 1e4) if fit(0)[2] > wanted else 0.0
        mean, variance, squares = fit(between)
        for step in student.ppf(grid, df):
            centres.append(mean + step * np.sqrt(squares / df * variance))
            spreads.append(max(between, 1e-24) ** 0.5)
    centres, spreads = np.array(centres), np.array(spreads)
    for end, share in ((found.next_low, 0.025), (found.next_high, 0.975)):
        below = student.cdf((end - centres) / spreads, 7).mean()
        assert below == pytest.approx(share, abs=2e-3)


def test_one_study_is_stretched_by_nothing_and_one_more_leaves_a_degree_of_freedom():
    found = linked_studies(pairs([0.4], [0.01]))
    one = found.effect("new", "old")
    assert (found.factor, found.df, found.between_sd, found.between_low) == (1.0, 0, 0.0, 0.0)
    assert one.se == pytest.approx(0.1)
    assert one.shares == (1.0,)
    half = student.ppf(0.975, 1) * (1 / (1 / 0.01 + 1 / 0.03)) ** 0.5
    assert found.half_width_with("new", "old", 0.03) == pytest.approx(half)


def test_an_arm_against_itself_is_nothing_to_all_digits():
    none = linked_studies(pairs([0.4, 0.2, 0.3], [0.01] * 3)).effect("new", "new", ahead=False)
    assert (none.log_effect, none.low, none.high, none.se) == (0.0, 0.0, 0.0, 0.0)
    assert none.shares == (0.0, 0.0, 0.0)


def test_what_the_next_study_adds_goes_by_how_many_of_its_two_arms_are_steady():
    """Studies that agree to all digits leave what is added alone, by t with 7."""

    def ends(made_once, **ahead):
        found = linked_studies(pairs([0.3] * 3, [1e-10] * 3), None, made_once, Ahead(**ahead))
        one = found.effect("new", "old", 0.9)
        return one.next_low, one.next_high

    t = student.ppf(0.95, 7)
    both, one = 0.3 + t * 0.4, 0.3 + t * 0.5
    assert ends((), other=0.08) == pytest.approx((0.6 - both, both), abs=1e-3)
    assert ends(("old",), other=0.16, steady=0.09) == pytest.approx((0.6 - one, one), abs=1e-3)
    assert ends(("old", "new"), steady=0.08, other=9.0) == pytest.approx((0.6 - both, both),
                                                                         abs=1e-3)  # fmt: skip


def test_a_range_of_the_next_study_short_of_a_factor_of_a_hundred_is_told():
    y, v = np.array([0.1, 0.5, 0.3, 0.2, 0.6]), np.full(5, 0.01)
    one = linked_studies(pairs(y, v)).effect("new", "old")
    width = one.next_high - one.next_low
    for wanted, told in ((4.5, True), (4.7, False)):  # log 100 is 4.605
        k = wanted / width
        far = linked_studies(pairs(k * y, k**2 * v)).effect("new", "old")
        assert np.isfinite([far.next_low, far.next_high]).all() == told
        if told:
            assert far.next_high - far.next_low == pytest.approx(wanted, rel=1e-3)


def test_the_anchor_comes_first_and_one_that_nobody_made_is_passed_over():
    studies = three_arms([0.1, 0.2], [0.3, 0.4])
    assert linked_studies(studies, "c").arms == ("c", "k", "b")
    assert linked_studies(studies, "none").arms == ("k", "b", "c")
    assert linked_studies(studies).arms == ("k", "b", "c")


@pytest.mark.parametrize(
    "study",
    [
        StudyEffects(("a", "b"), np.array([0.1]), np.eye(2)),
        StudyEffects(("a", "b"), np.array([np.inf]), np.array([[0.1]])),
        StudyEffects(("a", "b"), np.array([0.1]), np.array([[-0.1]])),
        StudyEffects(("a", "b", "a"), np.array([0.1, 0.2]), np.eye(2)),
    ],
)
def test_the_study_that_is_none_is_named_by_its_number(study):
    with pytest.raises(UnusableInput, match="study 2"):
        linked_studies([*pairs([0.1], [0.1]), study])
    with pytest.raises(UnusableInput, match="no study"):
        linked_studies([])
