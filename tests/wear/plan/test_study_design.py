"""Planning: power, blades, stages, order of runs, blinded codes."""

from collections import Counter
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.stats.contrast import pooled_t
from edgetest.stats.power import Power
from edgetest.wear.plan import study_design as module
from edgetest.wear.plan.design_result import Curve, Option, StudyPlan
from edgetest.wear.plan.expected_wear import ExpectedWear, stage_se
from edgetest.wear.plan.planned_runs import Bench, bench_of, planned_runs
from edgetest.wear.plan.pooled_blades import blades_to_tell, interval_factor, power_to_tell
from edgetest.wear.plan.run_order import balanced_order, blind_codes
from edgetest.wear.plan.stage_schedule import best_schedule, geometric_schedule, handy, typical_se
from edgetest.wear.plan.study_design import (
    CURVE,
    SIMULATED_CURVE,
    Expected,
    Goal,
    PlannedLayout,
    Sampling,
    plan_study,
)
from edgetest.wear.plan.study_power import LifeScatter
from tests.wear.columns import fit_study

ONE_ROLL = Bench()
SIX = {f"{t}{i}": t for t in ("A", "B") for i in (1, 2, 3)}


def test_power_is_the_share_of_simulated_studies_that_tell():
    rng = np.random.default_rng(1)
    a, b = rng.normal(0, 0.1, (40_000, 3)), rng.normal(np.log(1.25), 0.1, (40_000, 3))
    found = pooled_t(a, b)
    told = np.mean(found.low > 0)
    assert_allclose(power_to_tell(3, 1.25, 0.1), told, atol=0.0075)  # three standard errors


def test_power_without_a_difference_is_the_error_and_with_a_huge_one_is_certain():
    # 2.5 %: the interval lies above 1 as often as below it.
    assert_allclose(power_to_tell([2, 5, 20], 1.0, 0.1), 0.025, rtol=1e-9)
    assert_allclose(power_to_tell(20, 50.0, 0.05), 1.0)


def test_power_rises_with_the_ratio_all_the_way():
    ratio = np.geomspace(1.001, 100, 200)
    for n in (2, 3, 10):
        power = power_to_tell(n, ratio, 0.05)
        assert np.isfinite(power).all()
        assert np.all(np.diff(power) > -1e-9)


def test_a_ratio_and_its_inverse_need_the_same_blades():
    assert_allclose(blades_to_tell(1.25, 0.1), blades_to_tell(0.8, 0.1), rtol=1e-9)
    assert blades_to_tell(1.001, 0.3) == np.inf
    assert blades_to_tell(3.0, 0.01) == 2.0


def test_interval_factor_is_the_typical_width():
    rng = np.random.default_rng(2)
    found = pooled_t(rng.normal(0, 0.1, (20_000, 4)), rng.normal(0, 0.1, (20_000, 4)))
    assert_allclose(interval_factor(4, 0.1), np.exp(np.median(found.half_width)), rtol=0.005)


def planned(ratio, sd, cuts, wear, *, stations=3, sd_df=None, bench=ONE_ROLL):
    expected = Expected(LifeScatter(sd), wear, sd_df=sd_df)
    return plan_study(
        Goal(ratio),
        PlannedLayout(bench),
        Sampling(cuts, stations),
        expected,
        np.random.default_rng(1),
    )


def test_plan_says_blades_and_what_the_readings_cost():
    cuts = geometric_schedule(8, 400)
    plan = planned(1.2, 0.1, cuts, ExpectedWear(300), sd_df=6)
    known = plan.known
    assert known.blades == int(np.ceil(blades_to_tell(1.2, plan.chosen.sd_log_life)))
    assert known.blades_low < known.blades < plan.chosen.blades < known.blades_high
    assert all(np.diff(plan.curve.chances) > 0)
    rough = planned(1.2, 0.02, cuts, ExpectedWear(300, reading_cv=0.3), stations=1)
    assert "more stations, stages or readings save blades" in rough.summary()
    assert min(o.blades for o in rough.options) < rough.chosen.blades
    assert f"{plan.chosen.blades} blades of each heat treatment" in plan.summary()
    assert len(plan.to_frame()) == len(plan.options)


def test_blocks_cost_degrees_of_freedom_in_the_plan_as_they_do_in_the_answer():
    # Scatter 0.15, ratio 1.5, three a side: 4 degrees of freedom without rolls, 2 with them.
    cuts, wear = geometric_schedule(8, 400), ExpectedWear(300, reading_cv=1e-6, deviation=0.0)
    plain, rolls = (
        planned(1.5, 0.15, cuts, wear, bench=bench) for bench in (Bench(), Bench(a_block=1))
    )
    assert [plain.curve.powers[1].df, rolls.curve.powers[1].df] == [4, 2]
    assert_allclose([plain.curve.chances[1], rolls.curve.chances[1]], [0.700, 0.443], atol=0.001)
    assert rolls.chosen.blades == plain.chosen.blades + 1


def test_a_hopeless_plan_says_so():
    plan = planned(1.01, 0.3, geometric_schedule(6, 200), ExpectedWear(150))
    assert plan.chosen.blades is None
    assert "cannot be shown" in plan.summary()


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: blades_to_tell(1.0, 0.1), "ratio: a ratio of 1"),
        (lambda: blades_to_tell(1.2, 0.0), "sd_log_life: a scatter of 0"),
        (lambda: blades_to_tell(1.2, 0.1, power=1.0), "power: a power of 1"),
        (lambda: geometric_schedule(2, 100), "stages: 2 stages"),
        (lambda: geometric_schedule(8, 5), "last: 5 cuts for 8 stages"),
        (lambda: stage_se([0, 10], ExpectedWear(5, 10, 5)), "limit: 5 is not above the fresh edge"),
    ],
)
def test_unusable_plans_are_named(call, message):
    with pytest.raises(UnusableInput, match=message):
        call()


def test_geometric_stages_double():
    assert geometric_schedule(8, 128).tolist() == [0, 2, 4, 8, 16, 32, 64, 128]
    assert np.all(np.diff(geometric_schedule(9, 20)) > 0)


def test_best_stages_beat_doubling_ones_and_keep_their_distance():
    wear = ExpectedWear(300)
    plan = best_schedule(8, 400, wear, own=(0, 10, 25, 50, 100, 200, 300, 400))
    assert plan.cuts[0] == 0
    assert plan.cuts[-1] <= 400
    assert np.diff(plan.cuts[1:]).min() >= 20
    # The loss that is told is that of the same function at either schedule.
    assert plan.loss == pytest.approx(
        typical_se(plan.geometric_cuts, wear) / typical_se(plan.cuts, wear) - 1
    )
    assert plan.own_loss > 0.1
    assert f"Doubling stages leave the life {100 * plan.loss:.0f} % less sure" in plan.summary()


def test_where_the_law_may_fail_the_stages_gather_about_the_expected_life():
    def near(deviation):
        cuts = np.array(best_schedule(9, 900, ExpectedWear(300, deviation=deviation)).cuts)
        return ((cuts > 180) & (cuts < 480)).sum()

    assert near(0.1) > near(0.0)


def test_stage_se_is_what_the_fit_of_readings_shows():
    rng = np.random.default_rng(5)
    cuts, cv, life = geometric_schedule(9, 400), 0.03, 300.0
    blades, rows = 60, []
    width = np.sqrt(1 + 99 * cuts / life)
    for i in range(blades):
        noisy = width * np.exp(cv * rng.standard_normal(len(cuts)))
        rows += [(f"{i}", c, w) for c, w in zip(cuts, noisy, strict=True)]
    blade, at, value = zip(*rows, strict=True)
    fit = fit_study(blade, at, value, limit=10.0, power=2.0)
    seen = np.std([c.life.log_life for c in fit.blades], ddof=1)
    known = stage_se(cuts, ExpectedWear(life, reading_cv=cv, deviation=0.0))
    # The plan allows for an unknown p, the fit was told it: the plan lies above, but near.
    assert seen < known < 2.5 * seen


def test_runs_are_balanced_over_blocks_and_the_control_is_in_each():
    runs = balanced_order(
        SIX, ["roll 1", "roll 2", "roll 3"], np.random.default_rng(3), control="C"
    )
    blocks = {block: [r for r in runs if r.block == block] for block in ("roll 1", "roll 2")}
    for rows in blocks.values():
        assert Counter(r.treatment for r in rows) == {"A": 1, "B": 1, "control": 1}
        assert sorted(r.turn for r in rows) == [1, 2, 3]
    assert sorted(r.blade for r in runs if r.blade != "C") == sorted(SIX)


def test_uneven_blades_still_spread_evenly():
    blades = {**SIX, "B4": "B", "B5": "B"}
    runs = balanced_order(blades, ["mon", "tue"], np.random.default_rng(4))
    assert sorted(Counter(r.block for r in runs).values()) == [4, 4]
    for treatment in "AB":
        count = Counter(r.block for r in runs if r.treatment == treatment)
        assert max(count.values()) - min(count.values()) <= 1


def test_every_order_is_as_likely_and_the_seed_repeats_it():
    firsts = Counter(
        balanced_order(SIX, ["one"], np.random.default_rng(seed))[0].blade for seed in range(600)
    )
    assert min(firsts.values()) > 60  # 100 expected, sd 9
    again = [balanced_order(SIX, ["a", "b"], np.random.default_rng(7)) for _ in range(2)]
    assert again[0] == again[1]


def test_codes_are_apart_and_do_not_follow_the_blades():
    names = [f"blade {i}" for i in range(40)]
    codes = blind_codes(names, np.random.default_rng(1))
    assert set(codes) == set(names)
    for a in codes.values():
        assert not set(a) & set("AEIOULSZ")
        assert sum(sum(x != y for x, y in zip(a, b, strict=True)) < 2 for b in codes.values()) == 1
    with pytest.raises(UnusableInput, match="use a longer code"):
        blind_codes(names, np.random.default_rng(1), length=1)


@pytest.mark.parametrize(
    ("blades", "blocks", "control", "message"),
    [
        ({}, ["1"], None, "no blade"),
        (SIX, ["1", "1"], None, "named twice"),
        ({"a": "A"}, ["1", "2"], None, "2 blocks for 1 blades"),
        (SIX, ["1"], "A1", "A1 has a heat treatment"),
    ],
)
def test_unusable_orders_are_named(blades, blocks, control, message):
    with pytest.raises(UnusableInput, match=message):
        balanced_order(blades, blocks, np.random.default_rng(0), control=control)


def test_handy_numbers_are_whole_by_fives_by_tens_and_so_on():
    given = [0.3, 6.6, 44.0, 47.4, 68.0, 297.0, 316.0, 1540.0, 1551.0, 99.6]
    assert handy(given).tolist() == [0, 7, 45, 45, 70, 300, 320, 1500, 1600, 100]


def test_the_best_stages_begin_fresh_end_within_the_test_and_lie_apart():
    wear = ExpectedWear(300)
    found = best_schedule(6, 400, wear)
    cuts = np.array(found.cuts)
    assert cuts[0] == 0
    assert len(cuts) == 6
    assert cuts.max() <= 400
    assert np.diff(cuts).min() >= 0.05 * 400
    even = np.round(np.linspace(0, 400, 6))
    assert typical_se(cuts.astype(float), wear) <= typical_se(even, wear)
    later = best_schedule(5, 400, wear, first=20)
    assert later.cuts[0] == 20
    assert min(later.cuts[1:]) > 20


def test_a_plan_counts_every_reading_that_it_asks_for():
    """Blades × heat treatments × stages × stations × repeats."""
    plan = planned(2.0, 0.1, (0, 50, 100, 200), ExpectedWear(150), stations=3)
    assert plan.chosen.readings == 2 * plan.chosen.blades * 4 * 3
    assert (plan.chosen.stages, plan.chosen.stations, plan.chosen.repeats) == (4, 3, 1)
    for other in plan.options:
        each = other.stages * other.stations * other.repeats
        assert other.readings == 2 * other.blades * each


def own_plan(ratio=1.25, blades=(3, 3), needed=5):
    own = Power(0.62, 0.0, "exact", 4.0, "")
    option = Option(8, 3, 2, 0.05, 0.12, needed, 480)
    curve = Curve((3, 5), (own, own))
    return StudyPlan(ratio, 0.8, 0.95, 0.1, option, curve, (option,), own, blades, 2)


def test_what_the_study_s_own_blades_can_show_is_told_in_short_and_at_length():
    assert own_plan().in_short() == "chance to show a life 25 % longer: 62 %"
    assert own_plan(0.8).difference == "a life 20 % shorter"
    said = own_plan().summary()
    assert "To show a life 25 % longer with a chance of 80 %: 5 blades of each" in said
    assert "With this study's own 3 blades of each the chance is 62 %." in said
    assert (
        "With this study's own 3 and 4 blades the chance is 62 %."
        in own_plan(blades=(3, 4)).summary()
    )
    assert "One blade of a heat treatment tells of that blade" in own_plan(blades=(1, 3)).summary()
    assert own_plan(blades=(1, 3)).in_short() == "5 blades of each would show a life 25 % longer"
    hopeless = own_plan(needed=None)
    assert "A life 25 % longer cannot be shown with up to" in hopeless.summary()


@pytest.mark.parametrize(("se", "says"), [
    (0.09, "56 % of the scatter is the readings': more stations"),
    (0.08, "The readings make up 44 % of the scatter"),
])  # fmt: skip
def test_the_readings_share_of_the_scatter_is_a_ratio_of_variances(se, says):
    option = Option(8, 3, 2, se, 0.12, 5, 480)
    assert says in replace(own_plan(), chosen=option).summary()
    bare = replace(own_plan(), chosen=replace(option, reading_se=0.0)).summary()
    assert "scatter" not in bare


def test_the_simulated_curve_spans_the_blades_of_the_reckoned_one():
    assert (SIMULATED_CURVE[0], SIMULATED_CURVE[-1]) == (CURVE[0], CURVE[-1]) == (2, 12)
    assert set(SIMULATED_CURVE) <= set(CURVE)


def own_in(*rows):
    return PlannedLayout(bench_of(planned_runs(rows)), planned_runs(rows))


def test_the_study_s_own_blades_are_tried_on_one_roll_and_a_second_time():
    """Three pairs: one roll has 4 degrees of freedom, a roll for each pair 2; runs add none."""
    each, sampling = ExpectedWear(240), Sampling((0, 60, 120, 240, 360))
    pairs = [(f"{t}{n}", t, f"day {n}") for n in (1, 2, 3) for t in "AB"]
    twice = [(blade, t, day) for day in ("1", "2") for blade, t, _ in pairs]
    plans = [
        plan_study(Goal(), own_in(*rows), sampling, Expected(LifeScatter(0.15), each),
                   np.random.default_rng(1))
        for rows in (pairs, [(blade, t, "1") for blade, t, _ in pairs], twice)
    ]  # fmt: skip
    assert [[way.times for way in plan.otherwise] for plan in plans] == [[1, 2], [2], [1]]
    days, one, two = plans
    assert days.otherwise[0].power.value == pytest.approx(one.as_planned.value, abs=1e-3)
    assert days.as_planned.value + 0.05 < one.as_planned.value < days.otherwise[1].power.value
    assert two.as_planned.value == pytest.approx(days.otherwise[1].power.value, abs=0.06)
    lone = plan_study(Goal(), own_in(*pairs[:3]), sampling, Expected(LifeScatter(0.15), each),
                      np.random.default_rng(1))  # fmt: skip
    assert lone.otherwise == ()


@pytest.mark.parametrize("method", ["t", module.UNSAID])
def test_where_the_own_runs_tell_nothing_no_other_way_is_told(method):
    """Neither of one blade of each, nor of a chance that nobody could tell."""
    own = SimpleNamespace(blades=(1 if method == "t" else 3, 3), blocks=2, batch=None)
    search = SimpleNamespace(layout=SimpleNamespace(own=own, bench=SimpleNamespace(runs=1)))
    told = module._Search.otherwise(search, SimpleNamespace(method=method))
    assert told == module._Search.otherwise(search, None) == ()


def test_few_batches_are_tried_where_the_study_names_none():
    """Where its batches stand there already, their own chance is told in the place of others."""
    goal = Goal(1.25, 0.8)
    for batch, told in ((None, [2, 3]), (np.array(["q1", "q1", "q2", "q2"]), [])):
        own = replace(
            planned_runs([(f"{t}{k}", t, "1") for t in "ab" for k in (1, 2)]), batch=batch
        )
        search = module._Search(
            goal,
            PlannedLayout(ONE_ROLL, own),
            Expected(LifeScatter(0.12)),
            np.random.default_rng(1),
        )
        assert [one.batches for one in search.in_batches(4)] == told
