"""Variances of places, stages and readings: against closed forms and a published one-way set."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.stats.mixed import restricted_likelihood
from edgetest.wear.curve.scatter import estimate_scatter
from edgetest.wear.curve.scatter_likelihood import score_variances, stacked_cells
from edgetest.wear.curve.stage_cells import stage_cells, wear_readings
from edgetest.wear.curve.treatment_powers import TREATMENTS_DIFFER, prior_cov
from edgetest.wear.curve.weighing import Weighing


def one_blade(table, *, relative_u=None):
    """Cells of a (places, stages) table of log readings, nan where none was taken."""
    taken = np.isfinite(table)
    place, stage = np.nonzero(taken)
    return stage_cells(
        wear_readings(
            ["A"] * len(place),
            stage.astype(float),
            np.exp(table[taken]),
            station=[str(k) for k in place],
            relative_u=None if relative_u is None else relative_u[taken],
        )
    )


def table_of(blade, values):
    """Cell values back as a (places, stages) table."""
    out = np.empty((blade.n_stations, len(blade.stages)))
    out[blade.station, blade.stage] = values
    return out


def test_balanced_table_gives_the_analysis_of_variance():
    rng = np.random.default_rng(7)
    table = rng.normal(0, 0.05, (5, 8)) + rng.normal(0, 0.1, (5, 1)) + rng.normal(0, 0.08, (1, 8))
    blade = one_blade(table)
    mean = blade.log_value.mean()
    found = estimate_scatter([blade], [blade.log_value - mean], [np.ones((40, 1))])
    at_place, at_stage = table.mean(axis=1), table.mean(axis=0)
    left = table - at_place[:, None] - at_stage + table.mean()
    residual = (left**2).sum() / (4 * 7)
    place = (8 * at_place.var(ddof=1) - residual) / 8
    stage = (5 * at_stage.var(ddof=1) - residual) / 5
    assert found.parts == pytest.approx([residual, place, stage], rel=1e-5)
    # Var of a mean square is 2 MS² / df.
    assert found.cov[0, 0] == pytest.approx(2 * residual**2 / 28, rel=1e-3)


def test_degrees_of_freedom_of_a_plain_mean():
    table = np.random.default_rng(1).normal(0, 0.05, (1, 12))
    blade = one_blade(table)
    ones = np.ones((12, 1))
    found = estimate_scatter([blade], [blade.log_value - blade.log_value.mean()], [ones])
    weighing = Weighing.of([blade], found)
    (variance,), (df,) = weighing.effective_df(weighing.by_stage([ones]), np.array([[1.0]]))
    assert variance == pytest.approx(table.var(ddof=1) / 12, rel=1e-6)
    assert df == pytest.approx(11, rel=1e-4)


def test_degrees_of_freedom_are_never_below_one():
    """A variance known to its own hundredfold has 2 / 100² of them by Satterthwaite's formula."""
    blade = one_blade(np.random.default_rng(1).normal(0, 0.05, (1, 12)))
    ones = np.ones((12, 1))
    found = estimate_scatter([blade], [blade.log_value - blade.log_value.mean()], [ones])
    hardly = replace(found, cov=np.diag([(100 * found.residual_var) ** 2, 0, 0]))
    weighing = Weighing.of([blade], hardly)
    _, df = weighing.effective_df(weighing.by_stage([ones]), np.array([[1.0]]))
    assert df == [1.0]


@pytest.mark.parametrize("share", [0.2, 0.6])
def test_places_that_differ_less_than_their_readings_are_still_told(share):
    """One-way analysis of variance: (between - within) / n, below the variance of a reading."""
    table = np.random.default_rng(5).normal(0, 0.1, (6, 20))
    table -= table.mean(axis=1, keepdims=True)
    within = (table**2).sum() / (6 * 19)
    place = np.array([-1.5, -1, -0.5, 0.5, 1, 1.5])
    table += np.sqrt((share + 1 / 20) * within) * (place / place.std(ddof=1))[:, None]
    # One stage a reading: what readings of a stage share is not looked for.
    blade = stage_cells(
        wear_readings(["A"] * 120, np.arange(120.0), np.exp(table.ravel()),
                      station=[str(k) for k in np.repeat(np.arange(6), 20)])
    )  # fmt: skip
    left = blade.log_value - blade.log_value.mean()
    found = estimate_scatter([blade], [left], [np.ones((120, 1))])
    assert found.residual_var == pytest.approx(within, rel=1e-4)
    assert found.station_var == pytest.approx(share * within, rel=1e-3)


def test_stated_uncertainties_count_for_a_scatter_below_them():
    """A residual variance of next to nothing is as well known as what was stated: 2 s⁴ / df."""
    stages = np.arange(8.0)
    blade = stage_cells(
        wear_readings(["A"] * 8, stages, np.exp(0.1 * stages), relative_u=[0.05] * 8)
    )
    zeros, slopes = np.zeros(8), [np.column_stack([np.ones(8), stages])]
    plain = estimate_scatter([blade], [zeros], slopes)
    known = estimate_scatter([blade], [zeros], slopes, stated_df=30.0)
    stated = blade.own_var.mean()
    added = 1 / known.cov[0, 0] - 1 / plain.cov[0, 0]
    assert added == pytest.approx(30 / (2 * stated**2), rel=1e-6)


def test_rails():
    """Rail, 6 rails x 3 times (nlme; Pinheiro and Bates 2000): REML SDs 24.805 and 4.0208."""
    times = [55, 53, 54, 26, 37, 32, 78, 91, 85, 92, 100, 96, 49, 51, 50, 80, 85, 83]
    rail = np.repeat(np.arange(6), 3)
    blade = stage_cells(
        wear_readings(
            ["A"] * 18,
            np.arange(18.0),
            np.exp(np.array(times) / 100.0),
            station=[str(k) for k in rail],
        )
    )
    left = blade.log_value - blade.log_value.mean()
    found = estimate_scatter([blade], [left], [np.ones((18, 1))])
    assert 100 * np.sqrt(found.station_var) == pytest.approx(24.805, abs=2e-3)
    assert 100 * np.sqrt(found.residual_var) == pytest.approx(4.0208, abs=2e-4)
    assert found.stage_var == 0


def test_a_missing_place_does_not_pull_the_stage():
    """Places 30 % apart, one not read at the last stage: its mean must not jump."""
    rng = np.random.default_rng(3)
    places = np.array([-0.3, 0.0, 0.3])
    table = np.log(np.linspace(2, 9, 8)) + places[:, None] + rng.normal(0, 0.01, (3, 8))
    whole = one_blade(table)
    place, stage = np.indices(table.shape)
    keep = ~((place == 2) & (stage == 7)).ravel()
    some = stage_cells(
        wear_readings(
            ["A"] * int(keep.sum()),
            stage.ravel()[keep].astype(float),
            np.exp(table.ravel()[keep]),
            station=[str(k) for k in place.ravel()[keep]],
        )
    )
    curve = table.mean(axis=0)
    found = estimate_scatter([whole], [whole.log_value - curve[whole.stage]], [np.ones((24, 1))])
    (mean,), _ = Weighing.of([some], found).stage_means()
    assert mean[7] == pytest.approx(curve[7], abs=0.02)
    plain = np.mean(table[:2, 7])
    assert abs(plain - curve[7]) > 0.1


def test_predicted_effects_shrink_to_what_is_known():
    table = np.zeros((2, 6))
    table[0], table[1] = 0.1, -0.1
    table += np.random.default_rng(2).normal(0, 0.02, table.shape)
    blade = one_blade(table)
    left = blade.log_value - blade.log_value.mean()
    found = estimate_scatter([blade], [left], [np.ones((12, 1))])
    effects = table_of(blade, Weighing.of([blade], found).predicted_effects(0, left)).mean(axis=1)
    means = table.mean(axis=1) - table.mean()
    assert np.all(np.abs(effects) < np.abs(means) + 1e-12)
    assert effects == pytest.approx(means, rel=0.05)


@pytest.mark.parametrize(("missing", "stated"), [(0, False), (2, False), (2, True)])
def test_score_is_that_of_the_plain_matrices(missing, stated):
    """The blades' own projections against one covariance matrix of all readings.

    Five blades of two heat treatments, each with its own power and its own Brownian path; three
    were read alike. Then with readings missing, and with a stated uncertainty of each.
    """
    rng = np.random.default_rng(8)
    shapes, groups, unit = ((3, 5), (2, 7), (2, 4), (3, 5), (3, 5)), (0, 1, 1, 0, 0), 3.0
    blades = []
    for shape, group in zip(shapes, groups, strict=True):
        table = rng.normal(0, 0.1, shape)
        table.ravel()[rng.choice(table.size, missing, replace=False)] = np.nan
        relative_u = rng.uniform(0.02, 0.08, shape) if stated else None
        blades.append(replace(one_blade(table, relative_u=relative_u), group=group))
    slopes = [np.column_stack([np.ones(len(b.stage)), b.cuts]) for b in blades]
    shared = [np.sqrt(b.cuts) for b in blades]
    variances = np.array([0.01, 0.004, 0.002, 0.003, 0.0007])
    data = stacked_cells(blades, [b.log_value for b in blades], slopes, shared, path_unit=unit)
    found = score_variances(variances, data)

    n = sum(len(b.stage) for b in blades)
    places, stages, *paths = np.zeros((4, n, n))
    x, q, start = np.zeros((n, 2 * len(blades))), np.zeros((n, 2)), 0
    for i, (b, slope) in enumerate(zip(blades, slopes, strict=True)):
        rows = slice(start, start + len(b.stage))
        places[rows, rows] = b.station[:, None] == b.station
        stages[rows, rows] = b.stage[:, None] == b.stage
        paths[b.group][rows, rows] = np.minimum.outer(b.cuts, b.cuts) / unit
        x[rows, 2 * i : 2 * i + 2] = slope
        q[rows, b.group] = shared[i]
        start += len(b.stage)
    y = np.concatenate([b.log_value for b in blades])
    parts = np.array([np.eye(n), places, stages, *paths])
    known = q @ prior_cov(2, TREATMENTS_DIFFER) @ q.T
    known += np.diag(np.concatenate([b.known_var for b in blades]))
    plain, slope, bend, _ = restricted_likelihood(y, x, parts, known, variances)
    constant = (n - 2 * len(blades)) / 2 * np.log(2 * np.pi)
    assert found.log_likelihood == pytest.approx(plain + constant, abs=1e-6)
    np.testing.assert_allclose(found.score, slope, rtol=1e-6)
    np.testing.assert_allclose(found.information, bend, rtol=1e-6, atol=1e-6)
