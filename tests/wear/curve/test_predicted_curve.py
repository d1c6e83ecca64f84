"""The curve as the readings bear it out: kriging against plain matrices, and reading it."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.wear.curve.joint_fit import fit_blades
from edgetest.wear.curve.laws import LAWS
from edgetest.wear.curve.predicted_curve import predicted_curves
from edgetest.wear.curve.stage_cells import stage_cells, wear_readings
from tests.wear.columns import fit_study
from tests.wear.curve.exact_study import STAGES, study


def bent(seed=4, cv=0.03):
    """Readings that wear fast to 40 cuts and slowly from there on."""
    data = study((300.0, 330.0), cv=cv, places=2, seed=seed)
    worn = np.where(data["cuts"] > 40, 0.5 * np.log(data["cuts"] / 40 + 1e-9), 0.0)
    return data | {"value": data["value"] * np.exp(-0.6 * worn)}


def test_prediction_and_error_are_those_of_one_matrix_of_all_readings():
    """Universal kriging (Cressie 1993, section 3.4) from every cell, not from stage means."""
    data = bent()
    readings = wear_readings(**data)
    cells = [stage_cells(readings.take(readings.blade == name)) for name in "AB"]
    law = fit_blades(LAWS["wedge"], cells, log_power=np.log(2.0))
    fitted = fit_blades(LAWS["wedge"], cells, log_power=np.log(2.0), start=law)
    found = predicted_curves(fitted)
    at = np.array([[0.0, 25.0, 160.0, 250.0, 400.0]])
    for i, blade in enumerate(fitted.blades):
        scatter, n = fitted.scatter, blade.cuts
        per_cut = scatter.path_per_cut(0)
        v = per_cut * np.minimum.outer(n, n) + scatter.residual_var * np.eye(len(n))
        v += scatter.station_var * (blade.station[:, None] == blade.station)
        v += scatter.stage_var * (blade.stage[:, None] == blade.stage)
        psi = fitted.psi[i]
        x = np.column_stack([np.ones(len(n)), fitted.law.slopes(n, psi)[:, 0]])
        x0 = np.column_stack([np.ones(5), fitted.law.slopes(at[0], psi)[:, 0]])
        k = per_cut * np.minimum.outer(at[0], n)
        left = blade.log_value - fitted.log_scale[i] - fitted.law.log_shape(n, psi)
        inverse = np.linalg.inv(v)
        value = fitted.log_scale[i] + fitted.law.log_shape(at[0], psi) + k @ inverse @ left
        gap = x0 - k @ inverse @ x
        var = per_cut * at[0] - np.einsum("mi,ij,mj->m", k, inverse, k)
        var += np.einsum("mp,pq,mq->m", gap, np.linalg.inv(x.T @ inverse @ x), gap)
        log_value, own_se, _ = found.take([i]).at(at)
        np.testing.assert_allclose(log_value[0], value, rtol=1e-9)
        np.testing.assert_allclose(own_se[0], np.sqrt(var), rtol=1e-6)


def test_near_the_readings_the_curve_leans_on_them_and_far_off_on_the_law():
    data = bent(cv=0.01)
    fit = fit_study(**data, limit=20.0, power=2.0)["A"]
    stages = np.array(STAGES, dtype=float)
    law = fit.log_scale + LAWS["wedge"].log_shape(stages, fit.psi)
    rows = data["blade"] == "A"
    means = np.array([np.log(data["value"][rows & (data["cuts"] == n)]).mean() for n in STAGES])
    read = np.log(fit.predict(stages).value)
    assert np.abs(read - means).max() < 0.3 * np.abs(law - means).max()
    far = np.log(fit.predict([320.0, 640.0]).value)
    assert far[1] - far[0] == pytest.approx(0.5 * np.log(2), abs=0.05)


def test_readings_at_given_cuts_say_whether_they_lie_within_a_runs_stages():
    data = study((200.0, 260.0, 340.0), cv=0.03)
    short = (data["blade"] != "C") | (data["cuts"] <= 80)
    fit = fit_study(**{k: v[short] for k, v in data.items()}, limit=10.0)
    at = fit.log_readings_at(120.0)
    assert at.run == ("A", "B", "C")
    assert at.inside.tolist() == [True, True, False]
    true = np.log(np.sqrt(4 + 96 * 120 / np.array([200.0, 260.0, 340.0])))
    assert np.all(np.abs(at.log_reading - true) < 3 * at.log_se + 0.02)
    assert at.log_se[2] > at.log_se[0]
    assert at.law_u.shape == (3, 1)


def test_a_falling_reading_and_a_limit_of_fresh_are_read_alike():
    n = np.tile(np.array([0, 3, 6, 14, 30, 60, 90, 126.0]), 2)
    shape = np.exp(-0.012 * n) * np.where(n > 30, 1.1, 1.0)
    noise = np.exp(0.01 * np.random.default_rng(2).standard_normal(len(n)))
    blade = ["A"] * 8 + ["B"] * 8
    options = {"law": "falling_exponential", "unit": "mm"}
    whole = fit_study(blade, n, 20 * shape * noise, limit_of_fresh=0.5, **options)
    set_ = fit_study(blade, n, 20 * shape * noise, limit=10.0, **options)
    truth = np.log(0.5 / 1.1) / -0.012
    for fit in (whole, set_):
        for curve in fit.blades:
            assert curve.life.low < truth < curve.life.high
            assert not curve.life.extrapolated


@pytest.mark.parametrize("times", [1.2, 1.5])
def test_reach_is_1_3_times_the_last_cuts(times):
    life = 320.0 * times
    fit = fit_study(**study((life,) * 2, cv=0.005), limit=10.0, power=2.0)["A"]
    assert fit.life.beyond_reach == (times > 1.3)
    assert fit.life.by_law.cuts == pytest.approx(life, rel=0.05)
    if times < 1.3:
        assert fit.life.low < life < fit.life.high
    else:
        assert (fit.life.low, fit.life.high) == (320.0, np.inf)


def test_one_station_and_one_blade_still_have_an_honest_interval():
    fit = fit_study(**study((250.0,), cv=0.05, places=1, seed=8), limit=10.0)["A"]
    assert fit.life.low < 250 < fit.life.high
    assert fit.life.high / fit.life.low > 1.1


def test_the_doubt_about_a_power_that_was_fitted_is_in_the_prediction():
    readings = wear_readings(**study((300.0, 330.0), cv=0.05, places=2, seed=4))
    cells = [stage_cells(readings.take(readings.blade == name)) for name in "AB"]
    found = fit_blades(LAWS["wedge"], cells)
    assert (predicted_curves(found).power_var > 0).all()
    assert predicted_curves(found).power_var == pytest.approx(found.power_var)
    held = fit_blades(LAWS["wedge"], cells, log_power=np.log(2.0))
    assert not predicted_curves(held).power_var.any()


def test_the_change_per_log_power_is_that_of_the_prediction_itself():
    """By differences: the law's power moved a little, the readings and all else as they are."""
    readings = wear_readings(**bent())
    cells = [stage_cells(readings.take(readings.blade == name)) for name in "AB"]
    found = predicted_curves(fit_blades(LAWS["wedge"], cells))
    found = replace(found, drift=np.zeros_like(found.drift), per_cut=np.full(2, 1e-5))
    cuts, little = np.tile([30.0, 90.0, 700.0], (2, 1)), 1e-5
    _, _, by_power = found.at(cuts)

    def moved(by):
        psi = found.psi.copy()
        psi[:, -1] += by
        law = found.law.log_shape(found.stages, psi) - found.law.log_shape(found.stages, found.psi)
        left = found.left - np.matmul(found.inverse, law[:, :, None])[:, :, 0]
        return replace(found, psi=psi, left=left).at(cuts)[0]

    assert by_power == pytest.approx((moved(little) - moved(-little)) / (2 * little), rel=1e-4)
