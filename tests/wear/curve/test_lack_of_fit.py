"""Runs, lack of fit and readings that stand out: exact counts, known sizes, and no cry of wolf."""

from itertools import combinations
from math import comb
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.stats import t as student

from edgetest.wear.curve.lack_of_fit import (
    PureError,
    falls_back,
    lack_of_fit,
    pure_error,
    runs_distribution,
    runs_probability,
    stands_out,
)
from tests.wear.columns import codes, fit_study
from tests.wear.curve.exact_study import study


@pytest.mark.parametrize(("above", "below"), [(5, 5), (3, 6), (1, 4), (4, 0)])
def test_runs_are_counted_over_every_order(above, below):
    n = above + below
    counted = np.zeros(n + 1)
    for places in combinations(range(n), above):
        signs = np.isin(np.arange(n), places)
        counted[1 + np.sum(signs[1:] != signs[:-1])] += 1
    assert runs_distribution(above, below) == pytest.approx(counted / comb(n, above), abs=1e-12)


def test_runs_of_several_curves_add_up():
    pattern = [1.0, 1, 1, -1, -1, -1]
    one = runs_probability([pattern])
    assert one == pytest.approx(2 / 20)
    assert runs_probability([pattern, pattern]) == pytest.approx(one**2)
    assert runs_probability([]) == 1.0


def test_lack_of_fit_is_the_f_test():
    from scipy.stats import f

    parts = [PureError(4.0, 3, 2.0, 8), PureError(2.0, 3, 3.0, 8)]
    assert lack_of_fit(parts) == pytest.approx(f.sf((6 / 6) / (5 / 16), 6, 16))
    assert np.isnan(lack_of_fit([PureError(1.0, 3, 0.0, 0)]))


def test_grubbs_example_is_named():
    """NIST e-Handbook 1.3.5.17.1, mass spectrometer readings: 245.57 stands out, nothing else."""
    y = np.array([199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57])
    sd = np.full(8, y.std(ddof=1) * np.sqrt(7 / 8))  # a residual's own SD about the mean
    assert stands_out(y - y.mean(), sd, 7, 8).tolist() == [False] * 7 + [True]
    assert not stands_out((y - y.mean())[:7], sd[:7], 7, 8).any()


def test_falls_back_only_where_it_is_clear():
    assert falls_back(np.log([2.0, 4.0, 3.0, 6.0]), 0.03, 1)
    assert not falls_back(np.log([2.0, 4.0, 3.9, 6.0]), 0.03, 1)
    assert falls_back(np.log([6.0, 3.0, 5.0]), 0.03, -1)


STAGES = np.array([0, 10, 20, 40, 80, 120, 160, 240, 320.0])


def readings(rng, curve, blades=6, places=3, stage_sd=0.0):
    rows = {"blade": [], "cuts": [], "value": [], "station": []}
    for b in range(blades):
        common = stage_sd * rng.standard_normal(len(STAGES))
        for k in range(places):
            noise = 0.04 * rng.standard_normal(len(STAGES)) + 0.04 * rng.standard_normal()
            rows["blade"] += [f"{b}"] * len(STAGES)
            rows["cuts"] += STAGES.tolist()
            rows["value"] += (curve * np.exp(common + noise)).tolist()
            rows["station"] += [str(k)] * len(STAGES)
    return rows


@pytest.mark.slow
def test_warnings_stay_quiet_where_the_law_holds():
    rng = np.random.default_rng(20)
    loud = 0
    for _ in range(40):
        fit = fit_study(**readings(rng, np.sqrt(4 + 0.3 * STAGES)), limit=10.0)
        loud += bool({"law_misfits", "stages_scatter"} & set(codes(fit)))
    assert loud <= 3  # two tests at 1 % in 40 studies: 0.8 expected


def test_another_law_is_noticed():
    rng = np.random.default_rng(21)
    curve = 2 * (1 + 2.5 * (1 - np.exp(-STAGES / 25)) + 1.5 / (1 + np.exp(-(STAGES - 240) / 15)))
    fit = fit_study(**readings(rng, curve), limit=10.0)
    assert "law_misfits" in codes(fit)


def test_stages_that_scatter_are_noticed_and_carried():
    rng = np.random.default_rng(22)
    curve = np.sqrt(4 + 0.3 * STAGES)
    calm = fit_study(**readings(rng, curve), limit=10.0)
    rough = fit_study(**readings(rng, curve, stage_sd=0.12), limit=10.0)
    assert "stages_scatter" in codes(rough)
    assert rough["0"].life.log_life_se > 1.5 * calm["0"].life.log_life_se


def test_a_noisy_blade_is_named():
    rng = np.random.default_rng(23)
    rows = readings(rng, np.sqrt(4 + 0.3 * STAGES))
    noise = np.where(np.array(rows["blade"]) == "2", 0.15, 0.0) * rng.standard_normal(
        len(rows["blade"])
    )
    fit = fit_study(**rows | {"value": np.array(rows["value"]) * np.exp(noise)}, limit=10.0)
    assert ["noisy_blade" in codes(f) for f in fit.blades] == [b == "2" for b in "012345"]


@pytest.mark.parametrize("number", [1, 8, 40])
def test_standing_out_is_the_externally_studentised_residual_by_its_definition(number):
    """Each reading against the mean and scatter of the others, its chance times the number."""
    y = np.array([2.0, 2.1, 1.9, 2.05, 1.95, 2.6, 2.0, 1.85])
    n = len(y)
    sd = np.full(n, y.std(ddof=1) * np.sqrt((n - 1) / n))
    expected, by_others = [], []
    for i in range(n):
        others = np.delete(y, i)
        t = (y[i] - others.mean()) / (others.std(ddof=1) * np.sqrt(1 + 1 / (n - 1)))
        by_others.append(2 * student.sf(abs(t), n - 2) * number)
        expected.append(bool(by_others[-1] < 0.05))
    assert stands_out(y - y.mean(), sd, n - 1, number).tolist() == expected
    # With a scatter got without what lies far out, the plain t.
    robust = stands_out(np.array([0.3, 0.1, np.nan]), np.full(3, 0.1), 7.0, number, robust=True)
    plain = 2 * student.sf([3.0, 1.0, 0.0], 7.0) * number < 0.05
    assert robust.tolist() == plain.tolist()


def test_a_reading_that_is_all_of_the_scatter_stands_out():
    assert stands_out(np.array([0.5, 0.0]), np.array([0.1, 0.1]), 3.0, 100)[0]


@pytest.mark.parametrize(("power", "cv"), [(2.0, 0.0), (1.3, 0.001)])
def test_readings_that_no_bench_reads_are_told_and_not_taken_for_a_misfit(power, cv):
    columns = study(power=power, cv=cv, fresh=2.0)
    columns["value"] = np.round(columns["value"], 2)
    found = codes(fit_study(**columns, limit=10.0, power=power))
    assert "readings_too_even" in found
    assert "law_misfits" not in found


def test_readings_of_a_bench_are_not_too_even():
    for seed in range(10):
        found = codes(fit_study(**study(cv=0.012, seed=seed), limit=10.0))
        assert "readings_too_even" not in found


def test_few_runs_of_unequal_signs_have_their_exact_chance():
    """Eight above and two below: 2 or 3 runs are (2 + 8) of the 45 orders, by counting."""
    assert runs_probability([[1, 1, 1, 1, 1, 1, 1, 1, -1, -1]]) == pytest.approx(2 / 45)
    assert runs_probability([[1, 1, 1, 1, -1, -1, 1, 1, 1, 1]]) == pytest.approx(10 / 45)


def test_pure_error_of_places_has_the_freedom_of_stages_less_those_of_the_curve():
    stage = np.repeat(np.arange(5), 3)
    cells = SimpleNamespace(
        stage=stage, station=np.tile(["a", "b", "c"], 5), bounded=np.zeros(15, dtype=bool),
        repeat_df=0, repeat_ss=0.0,
    )  # fmt: skip
    rng = np.random.default_rng(3)
    found = pure_error(cells, rng.standard_normal(15), 1)
    assert (found.lack_df, found.pure_df) == (3, 8)  # 5 - 1 - 1; 15 - 3 - 4
    assert pure_error(cells, rng.standard_normal(15), 6).lack_df == 0


def test_what_the_stages_show_beside_the_places_is_the_lack_of_fit():
    """Sums of squares of two nested linear models, by least squares; 12 numbers, one bounded."""
    rng = np.random.default_rng(4)
    stage, place = np.repeat([0, 10, 20, 30], 3), np.tile([20, 40, 60], 4)
    r = rng.normal(0, 0.05, 12) + 0.1 * (stage == 20) + 0.2 * (place == 40)
    bounded = np.arange(12) == 11
    cells = SimpleNamespace(bounded=bounded, stage=stage, station=place, repeat_df=0)
    found = pure_error(cells, r, 1)
    keep = ~bounded
    of_places = (place[keep, None] == np.unique(place)).astype(float)
    both = np.column_stack([of_places, (stage[keep, None] == [10, 20, 30]).astype(float)])

    def left(design):
        return np.linalg.lstsq(design, r[keep], rcond=None)[1][0]

    lack = left(of_places) - left(both)
    assert found == PureError(pytest.approx(lack), 2, pytest.approx(left(both)), 11 - 6)


@pytest.mark.parametrize(("repeat_df", "times"), [(0, 1.0), (4, 2.0), (12, 4.0)])
def test_at_one_place_each_number_stands_for_as_many_readings_as_were_made(repeat_df, times):
    """A stage of m repeats has m times the square of its mean: 4 numbers and their repeats."""
    r = np.array([0.02, -0.03, 0.01, 0.05])
    cells = SimpleNamespace(
        stage=np.arange(4), station=np.zeros(4), bounded=np.zeros(4, dtype=bool),
        repeat_df=repeat_df, repeat_ss=0.7,
    )  # fmt: skip
    found = pure_error(cells, r, 1)
    assert found == PureError(pytest.approx(times * float(r @ r)), 2, 0.7, repeat_df)
