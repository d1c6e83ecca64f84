"""What is pooled with what, against what, and what limits it, from few lives made by hand."""

from math import exp, inf, log

import numpy as np
import pytest
from scipy.stats import chi2

from edgetest.doubts import codes
from edgetest.store.known_results import KnownResult
from edgetest.study.shop.load_scatter import LoadScatter
from edgetest.study.shop.shop_book import UNKNOWN_SCATTER, ShopScatter, _alike, shop_book
from edgetest.study.shop.study_lives import ArmLife, StudyLives

K = "control blade K"


def study(name, /, *, blades=2, protocol="rope", reading="w", control="", **arms):
    """Two blades a heat treatment, a tenth to either side of its log life."""
    facts = {key: arms.pop(key) for key in ("date", "limit", "invented", "bounds", "fault")
             if key in arms}  # fmt: skip
    steps = (-0.05, 0.05)[:blades]
    runs = [ArmLife(K if arm == "K" else arm, f"{arm}{n}", "", 5 + effect + step, 0.01)
            for arm, effect in arms.items() for n, step in enumerate(steps)]  # fmt: skip
    return StudyLives(name, protocol=protocol, reading=reading, runs=tuple(runs),
                      control=K if control else "", **facts)  # fmt: skip


def only(*studies, **more):
    (pool,) = shop_book(studies, **more).pools
    return pool


def test_ratios_are_held_against_the_control_most_studies_ran():
    pool = only(study("s1", a=0.2, K=0.0, control="K"), study("s2", a=0.2, b=0.4),
                study("s3", a=0.2, b=0.4))  # fmt: skip
    assert pool.anchor == K
    assert {arm.arm: arm.ratio.value for arm in pool.arms} == {
        "a": pytest.approx(exp(0.2)), "b": pytest.approx(exp(0.4)),
    }  # fmt: skip
    assert [arm.arm for arm in pool.arms] == ["b", "a"]  # the longest first
    (pair,) = pool.pairs
    assert (pair.arm, pair.against, pair.studies) == ("b", "a", ("s2", "s3"))
    assert pair.ratio.value == pytest.approx(exp(0.2))
    assert {arm.arm: arm.studies for arm in pool.arms} == {
        "a": ("s1", "s2", "s3"), "b": ("s2", "s3"),
    }  # fmt: skip


def test_without_a_control_the_arm_that_most_compared_is_the_anchor():
    pool = only(study("s1", a=0.0, b=0.3), study("s2", b=0.3, c=0.1))
    assert pool.anchor == "b"
    assert {arm.arm: arm.ratio.value for arm in pool.arms} == {
        "a": pytest.approx(exp(-0.3)), "c": pytest.approx(exp(-0.2)),
    }  # fmt: skip
    assert pool.pairs == ()  # nobody compared a with c
    assert not pool.controlled


@pytest.mark.parametrize(
    ("of", "why"),
    [
        (study("x", a=0.0, b=0.1, invented=True), "its data is invented"),
        (study("x", a=0.0), "it compares nothing"),
        (study("x", a=0.0, b=0.1, fault="no log"), "no log"),
        (study("x", a=0.0, b=0.1, bounds=("b",)), "it compares nothing"),
        (study("x", blades=1, a=0.0, b=0.1), UNKNOWN_SCATTER),
    ],
)
def test_what_is_left_out_says_why(of, why):
    book = shop_book([of])
    assert book.left_out == {"x": why}
    assert (book.studies, book.pools) == (1, ())


def test_invented_data_is_pooled_where_it_is_asked_for():
    assert only(study("x", a=0.0, b=0.1, invented=True), invented=True).studies == ("x",)


def test_protocols_and_readings_stand_apart_in_their_order():
    book = shop_book([study("s1", a=0.0, b=0.1), study("s2", a=0.0, b=0.1, protocol="board"),
                      study("s3", a=0.0, b=0.1, reading="force")])  # fmt: skip
    assert [(pool.protocol, pool.reading) for pool in book.pools] == [
        ("board", "w"), ("rope", "force"), ("rope", "w"),
    ]  # fmt: skip


def test_a_result_whose_log_is_gone_is_a_study_of_two_arms():
    """Its interval is read as 1.96 standard uncertainties of the log to either side."""
    gone = [KnownResult(f"old {n}", "rope", "w", "b", "a", 1.5, 1.2, 1.875) for n in range(2)]
    (pool,) = shop_book([], gone).pools
    assert (pool.studies, pool.anchor, pool.blade_df) == (("old 0", "old 1"), "b", 0)
    (arm,) = pool.arms
    assert arm.ratio.value == pytest.approx(1 / 1.5)
    assert arm.shares == {"old 0": pytest.approx(0.5), "old 1": pytest.approx(0.5)}
    assert pool.next_studies == ()
    assert np.isnan(pool.blade_sd.value)
    assert (pool.blade_sd.low, pool.blade_sd.high) == (0.0, inf)


@pytest.mark.parametrize(
    ("limits", "told"),
    [((10, 14.9), False), ((10, 15), True), ((10, None), False), ((None, None), False)],
)
def test_limits_more_than_two_fifths_apart_are_named(limits, told):
    """exp(0.4) is 1.492."""
    pool = only(*(study(f"s{n}", a=0.0, b=0.1, limit=limit) for n, limit in enumerate(limits)))
    assert ("shop_limits_differ" in codes(pool.doubts)) is told
    if told:
        (text,) = [one.text for one in pool.doubts if one.code == "shop_limits_differ"]
        assert "10, 15" in text


def test_how_little_a_pool_rests_on_is_said():
    assert codes(only(study("s1", a=0.0, b=0.1)).doubts) == ("shop_one_study",)
    chain = only(study("s1", a=0.0, b=0.1), study("s2", b=0.1, c=0.3))
    assert codes(chain.doubts) == ("shop_nothing_twice",)
    twice = only(study("s1", a=0.0, b=0.1), study("s2", a=0.0, b=0.3))
    assert codes(twice.doubts) == ()
    bound = study("s2", a=0.0, b=0.1, c=0.5, bounds=("c",))
    assert "shop_bounds_left_out" in codes(only(study("s1", a=0.0, b=0.1), bound).doubts)


def scatter(found=None, df=4):
    return ShopScatter((0.2, 0.1), df, 0.5, LoadScatter(found))


def test_the_scatter_between_blades_has_a_chi_square_interval_of_fewer_degrees():
    told = scatter().blades(0.9)
    ends = [0.2 * (2 / chi2.ppf(share, 2)) ** 0.5 for share in (0.95, 0.05)]
    assert (told.value, told.low, told.high) == pytest.approx((0.2, *ends))
    assert told.level == 0.9
    bare = scatter(df=0).blades(0.9)
    assert (bare.low, bare.high) == (0.0, inf)
    assert scatter().batches(0.9) is None


def test_open_comparisons_are_offered_the_likeliest_first_and_no_more_than_three():
    arms = {"a": 0.0, "b": 0.02, "c": 0.1, "d": 0.3}
    pool = only(*(study(f"s{n}", **arms) for n in range(2)))
    assert len(pool.next_studies) == 3
    chances = [each.chance_to_settle for each in pool.next_studies]
    assert chances == sorted(chances, reverse=True)
    assert all(0 < each.half_width_then < each.half_width for each in pool.next_studies)


def test_a_control_that_may_change_widens_what_a_next_study_may_find():
    """By 2 % a year over the years between studies and on to the next."""

    def ahead(step):
        dates = [f"{2000 + n * step}-06-15" for n in range(4)]
        pool = only(*(study(f"s{n}", date=date, a=0.2 + 0.05 * (n % 2), K=0.0, control="K")
                      for n, date in enumerate(dates)))  # fmt: skip
        (arm,) = pool.arms
        return log(arm.next_high / arm.next_low)

    assert ahead(0) < ahead(1) < ahead(5)


def test_names_that_may_be_one_are_told_in_each_pool_that_holds_one():
    first = study("s1", **{"plough disc: oil": 0.0, "b": 0.1})
    second = study("s2", **{"plough dsic: oil": 0.0, "c": 0.1})
    pools = shop_book((first, second)).pools
    assert len(pools) == 2
    for pool in pools:
        (text,) = [one.text for one in pool.doubts if one.code == "shop_names_alike"]
        assert "“plough disc: oil” and “plough dsic: oil”" in text
    assert "shop_names_alike" not in codes(only(study("s1", oil=0.0, brine=0.1)).doubts)


def test_one_control_of_two_titles_is_told():
    told = _alike([(f"{K}, of spring steel", "a"), (K, "b"), (f"{K}2", "b")])
    assert told == [(f"{K}, of spring steel", K)]


def test_what_studies_weigh_is_told_the_heaviest_first_and_the_light_ones_together():
    pool = only(*(study(f"s{n}", a=0.0, b=0.1, blades=2) for n in range(10)))
    assert pool.arms[0].weights() == (", ".join(f"s{n} 10 %" for n in range(8)) + ", 2 more 20 %")
    assert f"weights: {pool.arms[0].weights()}" in pool.summary()
    assert only(study("s1", a=0.0, b=0.1)).arms[0].weights() == ""
