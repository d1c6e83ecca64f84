"""Power of the very comparison: the chance told is the share of made-up studies that show it.

The studies are made here, apart from the plan's own, and go to `compare_lives` itself.
"""

from math import log
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import chi2, norm
from scipy.stats import t as student

from edgetest.stats.power import noncentral_power, power_by_count, power_by_width
from edgetest.wear.compare.compare_lives import ComparisonOptions, compare_lives
from edgetest.wear.compare.one_ratio import one_ratio
from edgetest.wear.compare.replicates import BladeLives
from edgetest.wear.curve.curve_lives import REACH
from edgetest.wear.plan.planned_runs import (
    CONTROL,
    Bench,
    bench_of,
    each_in,
    planned_runs,
    runs_with,
)
from edgetest.wear.plan.study_power import (
    UNSAID,
    LifeScatter,
    LifeSeen,
    _simulate_seen,
    exact_t,
    log_lives,
    power_of,
)

CHECKS = tuple(range(0, 401, 40))


def test_a_life_beyond_reach_of_the_last_stage_is_a_least_life():
    seen = LifeSeen(200.0, last=400.0)
    short, long = log(REACH * 400) - 0.01, log(REACH * 400) + 0.01
    low, high = seen.ends(np.array([log(200), short, long]))
    assert_allclose(low, [log(200), short, log(400)])
    assert_allclose(high, [log(200), short, np.inf])
    low, high = LifeSeen(200.0).ends(np.array([1.0, 20.0]))  # read until it is known
    assert_allclose((low, high), [[1.0, 20.0], [1.0, 20.0]])


def test_the_control_is_one_blade_without_a_scatter_of_its_own():
    runs = runs_with(Bench(2, a_block=1, control=True), 3)
    quiet = LifeScatter(blades=0.2, blocks=0.0, runs=0.0)
    made = log_lives(runs, 0.5, quiet, np.random.default_rng(1))
    control = runs.treatment == CONTROL
    assert control.any()
    assert_allclose(made[control], 0, atol=1e-12)
    assert np.ptp(made[~control]) > 0.1


def shown_by(runs, ratio, seed, *, blades=0.12, rolls=0.15, again=0.08, how=None, studies=150):
    """Share of studies in which `compare_lives` shows the ratio; blades, rolls and runs by hand."""
    rng, count = np.random.default_rng(seed), 0
    for _ in range(studies):
        own = {b: rng.normal(0, (blades**2 - again**2) ** 0.5) for b in set(runs.blade.tolist())}
        roll = {b: rng.normal(0, rolls) for b in set(runs.block.tolist())}
        rows = zip(runs.blade.tolist(), runs.treatment.tolist(), runs.block.tolist(), strict=True)
        y = np.array([
            log(200) + log(ratio) * (t == runs.names[1]) + roll[k] + rng.normal(0, again)
            + (0.0 if t == "control" else own[b])
            for b, t, k in rows
        ])  # fmt: skip
        low, high = (y, y) if how is None else how(y)
        block = runs.block if runs.blocks > 1 else None
        found = compare_lives(
            BladeLives(runs.blade, runs.treatment, low, high, block=block),
            ComparisonOptions(control=runs.control, reference=runs.names[0]),
        )
        pairs = {(p.first, p.second): p.ratio for p in found.pairs if p.family != "all pairs"}
        ratio_seen = pairs.get(runs.names[:2], found.ratio)
        count += ratio_seen.low > 1 and (found.first, found.second) != runs.names[:2][::-1]
    return count / studies


def within_checks(y):
    """Ends of lives that checks every 40 cuts tell."""
    life, stages = np.exp(y), np.array(CHECKS, dtype=float)
    place = np.searchsorted(stages, life)
    with np.errstate(divide="ignore"):
        edges = np.r_[np.log(stages), np.inf]
    return edges[place - 1], edges[place]


def stopped_at(last):
    """Ends of lives of blades that were cut to `last` and no further."""

    def ends(y):
        beyond = y > log(1.3 * last)
        return np.where(beyond, log(last), y), np.where(beyond, np.inf, y)

    return ends


UNEQUAL = planned_runs(
    [(f"a{i}", "a", "1") for i in range(3)] + [(f"b{i}", "b", "1") for i in range(6)]
)
GAPS = planned_runs([
    *[(f"a{i}", "a", k) for i, k in enumerate("112334")],
    *[(f"b{i}", "b", k) for i, k in enumerate("122344")],
])  # fmt: skip
DESIGNS = {
    "no rolls": (runs_with(Bench(), 4), LifeSeen(200), None),
    "rolls": (runs_with(Bench(a_block=1), 5), LifeSeen(200), None),
    "rolls and control": (runs_with(Bench(a_block=1, control=True), 5), LifeSeen(200), None),
    "rolls with gaps": (GAPS, LifeSeen(200), None),
    "unequal numbers": (UNEQUAL, LifeSeen(200), None),
    "three heat treatments": (runs_with(Bench(3, a_block=1), 4), LifeSeen(200), None),
    "checks": (runs_with(Bench(), 5), LifeSeen(200, checks=CHECKS), within_checks),
    "stopped early": (runs_with(Bench(), 5), LifeSeen(200, last=190), stopped_at(190)),
}


@pytest.mark.slow
@pytest.mark.parametrize("name", DESIGNS)
def test_the_chance_told_is_the_share_of_studies_that_show_it(name):
    runs, seen, how = DESIGNS[name]
    scatter = LifeScatter(0.12, blocks=0.15, runs=0.08)
    told = power_of(runs, 1.3, scatter, np.random.default_rng(1), seen=seen, studies=150)
    true = shown_by(runs, 1.3, 2, how=how, rolls=0.15 if runs.blocks > 1 else 0.0)
    # Three standard errors of 150 studies; planning_tables.py shows thousands.
    assert abs(told.value - true) < 3 * np.hypot(0.041, told.stderr), (told, true)


@pytest.mark.parametrize("name", ["no rolls", "rolls", "rolls and control"])
def test_balanced_designs_are_exact_and_a_control_costs_nothing(name):
    runs, _, _ = DESIGNS[name]
    exact = exact_t(runs, np.random.default_rng(0))
    assert exact.df == {"no rolls": 6, "rolls": 4, "rolls and control": 4}[name]
    assert exact.unscaled == pytest.approx(2 / runs.blades[0])


@pytest.mark.parametrize("name", ["rolls with gaps", "unequal numbers"])
def test_what_is_no_least_squares_t_is_simulated_and_says_how_well(name):
    runs, _, _ = DESIGNS[name]
    assert exact_t(runs, np.random.default_rng(0)) is None
    told = power_of(runs, 1.3, LifeScatter(0.12), np.random.default_rng(1), studies=60)
    assert told.how == "simulated"
    assert 0 < told.stderr < 0.06


@pytest.mark.parametrize("name", ["rolls", "three heat treatments", "unequal numbers", "checks"])
def test_the_short_way_to_the_ratio_is_that_of_the_comparison(name):
    runs, _, how = DESIGNS[name]
    rng = np.random.default_rng(5)
    y = (
        log(200)
        + 0.1 * rng.standard_normal(len(runs.blade))
        + 0.3 * (runs.treatment == runs.names[1])
    )
    low, high = (y, y) if how is None else how(y)
    block = runs.block if runs.blocks > 1 else None
    lives = BladeLives(runs.blade, runs.treatment, low, high, block=block)
    options = ComparisonOptions(reference=runs.names[0])
    whole, (short, speaks_of) = (
        compare_lives(lives, options),
        one_ratio(lives, runs.names[1], options),
    )
    pairs = {(p.first, p.second): p.ratio for p in whole.pairs if p.family != "all pairs"}
    assert short == pairs.get(runs.names[:2], whole.ratio)
    assert speaks_of == whole.scope


def test_the_noncentral_t_has_its_printed_power():
    # R, power.t.test(n = 20, delta = 1, sd = 1): 0.8689528, as printed in its documentation.
    assert_allclose(noncentral_power(20**0.5 / 2**0.5, 38, 2.024394), 0.8689528, atol=1e-6)
    assert noncentral_power(50.0, 4, 2.8) == 1


@pytest.mark.parametrize("df", [2, 4, 10, 38])
def test_the_power_is_the_tail_of_the_noncentral_t_by_its_integral(df):
    """P(Z + shift > t sqrt(chi-square / df)), the definition, summed over the chi-square."""
    critical, shift = student.ppf(0.975, df), np.array([0.0, -1.5, 3.0, 6.0])
    share = (np.arange(20000) + 0.5) / 20000
    spread = np.sqrt(chi2.ppf(share, df) / df)
    tails = [norm.cdf(abs(one) - critical * spread).mean() for one in shift]
    assert_allclose(noncentral_power(shift, df, critical), tails, atol=2e-4)
    assert_allclose(noncentral_power(0.0, df, critical), 0.025, atol=1e-9)


def test_widths_tell_as_much_as_counts_with_fewer_studies():
    rng = np.random.default_rng(3)
    y = rng.standard_normal((4000, 2, 4))
    middle = y[:, 1].mean(axis=1) - y[:, 0].mean(axis=1)
    half = 2.4469 * np.sqrt(y.var(axis=2, ddof=1).mean(axis=1) / 2)
    counted = power_by_count(middle + 2.0 - half > 0)
    by_width = power_by_width(middle[:400], half[:400], 2.0)
    assert by_width.value == pytest.approx(counted.value, abs=0.03)
    assert by_width.stderr < 1.6 * counted.stderr  # of ten times as many


def test_where_lives_count_as_known_a_rare_life_beyond_reach_takes_no_chance_away():
    runs, scatter = each_in(runs_with(Bench(), 3), 2), LifeScatter(0.15, readings=0.047)
    seen = LifeSeen(267.0, last=400.0)
    assert seen.all_known(1.25, scatter)
    told = [
        power_of(runs, 1.25, scatter, np.random.default_rng(1), seen=each, studies=150)
        for each in (seen, LifeSeen(267.0))
    ]
    assert told[0] == told[1]
    assert 0.2 < told[0].value < 0.5


def test_other_numbers_are_laid_out_as_the_study_is():
    runs = planned_runs(
        [(f"{t}{i}", t, f"roll {i // 2}") for t in "ab" for i in range(4)]
        + [("C", "control", f"roll {k}") for k in range(2)]
    )
    assert bench_of(runs) == Bench(2, a_block=2, control=True)
    more = runs_with(bench_of(runs), 6)
    assert more.blocks == 3
    assert more.blades == (6, 6)
    assert (more.treatment == "control").sum() == 3
    twice = runs_with(Bench(2, 1, runs=2), 3)
    assert all(len(set(twice.block[twice.blade == b])) == 2 for b in set(twice.blade))


@pytest.mark.parametrize("between", [0.0, 0.1])
def test_batches_that_hold_several_blades_count_once_each(between):
    scatter, batches = LifeScatter(0.12, batches=between), 3
    told = power_of(runs_with(Bench(), 6, batches), 1.4, scatter, np.random.default_rng(1))
    sd, df = (between**2 + 0.12**2 / 2) ** 0.5, 2 * batches - 2
    true = noncentral_power(log(1.4) / (sd * (2 / batches) ** 0.5), df, student.ppf(0.975, df))
    assert abs(told.value - true) < 3 * told.stderr
    apart = power_of(runs_with(Bench(), 6), 1.4, scatter, np.random.default_rng(1))
    sd = (between**2 + 0.12**2) ** 0.5
    assert_allclose(
        apart.value, noncentral_power(log(1.4) / (sd * (2 / 6) ** 0.5), 10, student.ppf(0.975, 10))
    )
    assert told.value < apart.value


def test_one_batch_of_each_shows_nothing_of_heat_treatments():
    told = power_of(runs_with(Bench(), 4, 1), 2.0, LifeScatter(0.1), np.random.default_rng(1),
                    studies=3)  # fmt: skip
    assert (told.value, told.method) == (0.0, UNSAID)


@pytest.mark.parametrize(("shift", "shown"), [(0.3, 2), (-0.3, 1)])
def test_of_lives_that_are_bounds_the_studies_that_show_it_are_counted(shift, shown):
    """Of four studies one has no answer; an interval below 1 shows nothing of a longer life."""
    ends = iter([(0.1, 0.4, "a"), (0.2, 0.5, "a"), (-0.6, -0.2, "b"), None])

    def interval(rng, *, shift):
        found = next(ends)
        return found and SimpleNamespace(low=found[0], high=found[1], method=found[2])

    steps = []
    study = SimpleNamespace(shift=shift, interval=interval)
    power = _simulate_seen(study, None, 4, lambda: steps.append(1))
    assert (power.value, power.method, len(steps)) == (shown / 4, "a", 4)


def test_of_studies_without_any_answer_no_method_is_told():
    study = SimpleNamespace(shift=0.3, interval=lambda rng, *, shift: None)
    power = _simulate_seen(study, None, 3, None)
    assert (power.value, power.method) == (0.0, UNSAID)
