"""What a plan asks for agrees with what it says of the study's own blades."""

from types import SimpleNamespace

import numpy as np
import pytest

from edgetest.stats.power import SIMULATED, Power
from edgetest.wear.plan import study_design
from edgetest.wear.plan.beside_own import beside_own, own_of_bench
from edgetest.wear.plan.planned_runs import Bench, planned_runs, runs_with
from edgetest.wear.plan.study_design import Expected, Goal, PlannedLayout, Sampling, plan_study
from edgetest.wear.plan.study_power import UNSAID, LifeScatter, LifeSeen

# Chances of two heat treatments read by grade, as a simulation by 2,000 studies each gave them.
TRUE = {2: 0.02, 3: 0.3, 4: 0.52, 5: 0.675, 6: 0.774, 7: 0.882, 8: 0.91, 10: 0.97, 12: 0.99}


def graded(monkeypatch, own, shares, sd_df=None):
    """The plan of so many blades of each whose chances are those given, by number."""

    def power_of(runs, *_, **__):
        n = runs.blades[0]
        return Power(shares[n], 0.014 if n == own else 0.033, SIMULATED, None, "t by likelihood")

    monkeypatch.setattr(study_design, "power_of", power_of)
    seen = LifeSeen(270, checks=(50.0, 100.0, 200.0, 300.0, 400.0))
    expected = Expected(LifeScatter(0.15), seen=seen, sd_df=sd_df)
    layout = PlannedLayout(Bench(), runs_with(Bench(), own))
    rng = np.random.default_rng(1)
    return plan_study(Goal(1.4), layout, Sampling((0, 50, 100, 200, 300, 400)), expected, rng)


@pytest.mark.parametrize(("own", "chance", "need"), [(6, 0.81, 6), (7, 0.86, 7), (8, 0.93, 7)])
def test_no_more_are_asked_for_than_own_blades_that_reach_the_chance(
    monkeypatch, own, chance, need
):
    plan = graded(monkeypatch, own, TRUE | {own: chance})
    assert plan.as_planned.value == chance
    assert plan.chosen.blades == need
    assert plan.chosen.readings == 2 * need * 6 * 3
    assert f"80 %: {need} blades of each heat treatment" in plan.summary()


def test_own_blades_that_fall_short_are_too_few(monkeypatch):
    assert graded(monkeypatch, 8, TRUE | {8: 0.7, 10: 0.75}).chosen.blades > 8


def test_averaged_over_the_scatter_both_agree_too(monkeypatch):
    enough = graded(monkeypatch, 10, TRUE, sd_df=2.5)
    assert enough.known.own.value == pytest.approx(TRUE[10])
    assert enough.chosen.blades <= 10
    short = graded(monkeypatch, 10, TRUE | {10: 0.78}, sd_df=20)
    assert short.chosen.blades > 10
    assert short.options[0] == short.chosen


def test_what_own_blades_show_is_told_of_them_alone_where_they_are_laid_out_otherwise():
    rows = [(f"{t}{n}", t, "roll") for t in "AB" for n in range(4)]
    assert own_of_bench(Bench(), planned_runs(rows)) == 4
    assert own_of_bench(Bench(), None) is None
    assert own_of_bench(Bench(a_block=1), planned_runs(rows)) is None
    assert own_of_bench(Bench(), planned_runs(rows[:-1])) is None
    batches = {f"{t}{n}": f"{t}.{n // 2}" for t in "AB" for n in range(4)}
    assert own_of_bench(Bench(), planned_runs(rows, batches=batches)) is None
    each = {blade: blade for blade in batches}
    assert own_of_bench(Bench(), planned_runs(rows, batches=each)) == 4


@pytest.mark.parametrize(
    ("found", "blades", "chance", "held"),
    [
        (8, 6, 0.81, 6),
        (8, 6, 0.796, 6),  # told as 80 %
        (8, 6, 0.79, 8),
        (5, 6, 0.79, 7),
        (None, 6, 0.85, 6),
        (None, 6, 0.5, None),
        (8, None, 0.9, 8),
    ],
)
def test_a_number_is_held_to_the_chance_of_the_own_blades(found, blades, chance, held):
    power = Power(chance, 0.01, SIMULATED, None, "t")
    assert beside_own(found, blades, power, 0.8) == held
    assert beside_own(found, blades, None, 0.8) == found
    assert beside_own(found, blades, SimpleNamespace(value=1.0, method=UNSAID), 0.8) == found
