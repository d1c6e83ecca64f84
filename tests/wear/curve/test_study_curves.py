"""Wear curves of a study: what a life is, what it rests on, and what is met calmly."""

import json
from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq, minimize_scalar

from edgetest.errors import UnusableInput
from edgetest.wear.curve.study_curves import _told
from tests.wear.columns import codes, fit_study
from tests.wear.curve.exact_study import STAGES, study


@pytest.mark.parametrize("power", [1.3, 2.0, 3.0])
def test_exact_readings_give_exact_lives_and_power(power):
    fit = fit_study(**study(power=power, cv=1e-5), limit=10.0)
    assert_allclose([f.life.cuts for f in fit.blades], [200, 260, 340], rtol=2e-4)
    assert fit.power.value == pytest.approx(power, rel=1e-4)
    assert fit["A"].parameters["w0"].value == pytest.approx(2.0, rel=1e-4)
    rate = (10.0**power - 2.0**power) / 200
    assert fit["A"].parameters["K"].value == pytest.approx(rate, rel=1e-3)


def test_one_place_is_plain_least_squares_of_the_logs():
    """Without places or bounds the fit is nonlinear regression on logs, t interval and all."""
    data = study((200.0,), cv=0.06, places=1, seed=4)
    fit = fit_study(**data, limit=10.0, power=2.0)
    y, n = np.log(data["value"]), data["cuts"].astype(float)

    def sse(log_life):
        def at(fresh_share):
            curve = np.log(10) + 0.5 * np.log(
                fresh_share + (1 - fresh_share) * n / np.exp(log_life)
            )
            return ((y - curve) ** 2).sum()

        return minimize_scalar(
            at, bounds=(1e-6, 0.5), method="bounded", options={"xatol": 1e-10}
        ).fun

    best = minimize_scalar(sse, bounds=(4.5, 6.5), method="bounded", options={"xatol": 1e-8})
    life = fit["A"].life.by_law
    assert life.log_life == pytest.approx(best.x, abs=1e-5)
    assert life.df == pytest.approx(len(y) - 2)
    from scipy.stats import t

    goal = best.fun * (1 + t.ppf(0.975, len(y) - 2) ** 2 / (len(y) - 2))
    low = brentq(lambda x: sse(x) - goal, best.x - 1, best.x)
    high = brentq(lambda x: sse(x) - goal, best.x, best.x + 1)
    assert_allclose(np.log([life.low, life.high]), [low, high], atol=2e-5)


def test_places_widen_the_life_by_their_own_scatter():
    """Balanced places: variance of the curve plus the places' share, in closed form."""
    data = study(cv=0.03, place_sd=0.08, places=4, seed=2)
    fit = fit_study(**data, limit=10.0, power=2.0)
    f = fit["A"]
    n = np.array(STAGES, dtype=float)
    logs = np.log(data["value"]).reshape(3, 4, len(n))
    curve = np.stack([np.log(g.predict(n).value) for g in fit.blades])
    left = logs - curve[:, None]
    at_place = left.mean(axis=2)
    place_ms = len(n) * ((at_place - at_place.mean(axis=1, keepdims=True)) ** 2).sum() / (3 * 3)
    # One variance of the curve about its stages: pooled over the three blades.
    law_slopes = np.stack([np.ones_like(n), f_slopes(f, n)], axis=1)
    rate = 0.5 * (1 - (f.parameters["w0"].value / 10) ** 2)
    gradient = -np.array([1.0, f_slopes(f, np.array([f.life.cuts]))[0]]) / rate
    from_places = (place_ms / len(n) / 4) * (1 / rate) ** 2
    assert f.life.log_life_se**2 > 0.9 * from_places
    inverse = np.linalg.inv(law_slopes.T @ law_slopes)
    residual = (
        left - at_place[:, :, None] - (left.mean(axis=1) - left.mean(axis=(1, 2))[:, None])[:, None]
    )
    residual_ms = (residual**2).sum() / (3 * 3 * (len(n) - 1))
    from_curve = residual_ms / 4 * gradient @ inverse @ gradient
    expected = from_curve + from_places - residual_ms / len(n) / 4 / rate**2
    assert f.life.log_life_se**2 == pytest.approx(expected, rel=0.05)


def f_slopes(fit, n):
    from edgetest.wear.curve.laws import LAWS

    return LAWS["wedge"].slopes(n, fit.psi)[:, 0]


def test_repeats_of_one_place_do_not_narrow_the_life():
    data = study(cv=0.05, place_sd=0.05, seed=6)
    once = fit_study(**data, limit=10.0, power=2.0)
    thrice = fit_study(**{k: np.repeat(v, 3) for k, v in data.items()}, limit=10.0, power=2.0)
    for a, b in zip(once.blades, thrice.blades, strict=True):
        assert b.life.log_life_se == pytest.approx(a.life.log_life_se, rel=1e-6)
        assert b.life.cuts == pytest.approx(a.life.cuts, rel=1e-6)


def test_order_of_rows_changes_nothing():
    data = study(cv=0.05, place_sd=0.05)
    mixed = np.random.default_rng(0).permutation(len(data["cuts"]))
    a = fit_study(**data, limit=10.0)
    b = fit_study(**{k: v[mixed] for k, v in data.items()}, limit=10.0)
    for fit in a.blades:
        assert b[fit.blade].life.cuts == pytest.approx(fit.life.cuts, rel=1e-6)
        assert b[fit.blade].life.high == pytest.approx(fit.life.high, rel=1e-4)


def test_units_change_nothing():
    data = study(cv=0.05, place_sd=0.05)
    mm = data | {"value": data["value"] / 1000, "cuts": data["cuts"] * 12.0}
    a = fit_study(**data, limit=10.0)
    b = fit_study(**mm, limit=0.010, unit="mm")
    for one, other in zip(a.blades, b.blades, strict=True):
        assert other.life.cuts == pytest.approx(12 * one.life.cuts, rel=1e-6)
        assert other.life.low == pytest.approx(12 * one.life.low, rel=1e-4)
    assert b.power.value == pytest.approx(a.power.value, rel=1e-6)


def test_shared_scale_enters_the_life_and_cancels_in_a_ratio():
    data = study(cv=0.03, places=1)
    without = fit_study(**data, limit=10.0, power=2.0)
    with_it = fit_study(**data, limit=10.0, power=2.0, shared_scale_u=0.02)
    life = with_it["A"].life.by_law
    fresh = with_it["A"].parameters["w0"].value
    assert life.log_life_se == without["A"].life.by_law.log_life_se
    # d log life / d log scale of w² = w0² + K n is -2 / (1 - (w0 / limit)²).
    assert life.log_life_shared_u == pytest.approx(-0.04 / (1 - (fresh / 10) ** 2), rel=1e-6)
    for part in (lambda fit: fit["A"].life.by_law, lambda fit: fit["A"].life):
        alone, both = part(without), part(with_it)
        own = np.log(alone.high) - alone.log_life
        wide = np.hypot(own, 1.959964 * abs(both.log_life_shared_u))
        assert np.log(both.high) - both.log_life == pytest.approx(wide, rel=1e-6)
    # One scale's error moves both lives alike, and leaves their ratio as it was.
    other = with_it["B"].life
    assert other.log_life_shared_u == pytest.approx(life.log_life_shared_u, rel=0.05)
    assert other.log_life_se == without["B"].life.log_life_se


def test_the_power_is_told_with_its_prior_where_readings_say_little():
    data = study((300.0,), cv=0.08, places=1, stages=(0, 20, 40, 80))
    fit = fit_study(**data, limit=10.0)
    assert "power_not_identified" in codes(fit)
    assert fit.power.low < 1.2 < 3.0 < fit.power.high
    sure = fit_study(**study(cv=0.02, places=4, power=3.0), limit=10.0)
    assert sure.power.low < 3 < sure.power.high
    assert sure.power.high / sure.power.low < 1.15
    assert "power_not_identified" not in codes(sure)


def test_power_of_one_blade_is_the_maximum_of_likelihood_and_prior():
    data = study((300.0,), cv=0.05, places=1, seed=9)
    fit = fit_study(**data, limit=10.0)
    y, n = np.log(data["value"]), data["cuts"].astype(float)
    from edgetest.wear.curve.joint_fit import WORN_VOLUME, fit_blades
    from edgetest.wear.curve.laws import LAWS
    from edgetest.wear.curve.stage_cells import stage_cells, wear_readings
    from edgetest.wear.curve.treatment_powers import PRIOR_SD

    made = stage_cells(wear_readings(**{k: data[k] for k in ("blade", "cuts", "value")}))
    variance = fit_blades(LAWS["wedge"], [made]).scatter.residual_var

    def objection(log_power):
        p = np.exp(log_power)

        def sse(log_rate):
            shape = np.log1p(np.exp(log_rate) * n) / p
            left = y - shape
            return ((left - left.mean()) ** 2).sum()

        best = minimize_scalar(sse, bounds=(-12, 8), method="bounded", options={"xatol": 1e-9}).fun
        return best / variance + ((log_power - np.log(WORN_VOLUME)) / PRIOR_SD) ** 2

    best = minimize_scalar(objection, bounds=(-1, 2.5), method="bounded", options={"xatol": 1e-7}).x
    assert np.log(fit.power.value) == pytest.approx(best, abs=1e-3)


def test_worn_areas_are_expected_to_grow_in_a_straight_line():
    data = study((300.0,), cv=0.08, places=1, stages=(0, 20, 40, 80))
    area = fit_study(**data | {"value": data["value"] ** 2}, limit=100.0, power_about=1.0)
    width = fit_study(**data, limit=10.0)
    assert area.power.value == pytest.approx(width.power.value / 2, rel=1e-3)
    assert area["A"].life.cuts == pytest.approx(width["A"].life.cuts, rel=1e-3)
    assert np.log(area["A"].life.high) == pytest.approx(np.log(width["A"].life.high), abs=1e-2)


def test_zero_counts_as_below_the_smallest_reading():
    data = study((200.0, 260.0), cv=0.03, places=1, fresh=0.5)
    value = np.where(data["cuts"] == 0, 0.0, data["value"])
    fit = fit_study(**data | {"value": value}, limit=10.0, power=2.0)
    bound = np.where(data["cuts"] == 0, value[value > 0].min(), np.nan)
    same = fit_study(
        **data | {"value": np.where(value == 0, np.nan, value)}, upper=bound, limit=10.0, power=2.0
    )
    assert "zero_taken_as_below" in codes(fit["A"])
    assert fit["A"].life.cuts == pytest.approx(same["A"].life.cuts, rel=1e-9)


def test_one_place_and_stations_without_names_are_told_apart():
    data = study(cv=0.03, places=1)
    said = {
        named: next(
            one.text for one in fit_study(**data, limit=10.0)["A"].doubts
            if one.code == "one_station"
        )
        for named in (True, False)
        if named or data.pop("station") is not None
    }  # fmt: skip
    assert said[True].startswith("The edge was read at one place, so the interval")
    assert said[True].endswith("Read three or more stations.")
    assert said[False].startswith("No reading names its station, so all count as read at one place")
    assert said[False].endswith("Read three or more stations and name them in station_mm.")


def test_one_reading_a_stage_without_stations():
    data = study(cv=0.03, places=1)
    del data["station"]
    fit = fit_study(**data, limit=10.0)
    assert_allclose([f.life.cuts for f in fit.blades], [200, 260, 340], rtol=0.1)
    assert "one_station" in codes(fit["A"])


@pytest.mark.parametrize("named", [True, False])
def test_residual_cv_is_that_of_a_reading(named):
    data = study(cv=0.05, places=6, seed=3)
    if not named:
        del data["station"]
    fit = fit_study(**data, limit=10.0, power=2.0)
    assert np.mean([f.residual_cv for f in fit.blades]) == pytest.approx(0.05, rel=0.15)


def test_first_stage_after_the_first_cuts():
    data = study(cv=0.02, stages=(20, 40, 80, 160, 320))
    assert_allclose(
        [f.life.cuts for f in fit_study(**data, limit=10.0).blades], [200, 260, 340], rtol=0.1
    )


def test_limits_by_blade_and_their_own_uncertainty():
    data = study(cv=0.03, places=1)
    same = fit_study(**data, limit=10.0, power=2.0)
    fit = fit_study(
        **data,
        limit={"A": 10.0, "B": 10.0, "C": 8.0},
        power=2.0,
        limit_relative_u={"A": 0.0, "B": 0.02, "C": 0.0},
    )
    assert fit["A"].life == same["A"].life
    assert fit["C"].life.cuts < same["C"].life.cuts
    fresh = fit["B"].parameters["w0"].value
    law = fit["B"].life.by_law
    own = np.hypot(same["B"].life.by_law.log_life_se, 0.04 / (1 - (fresh / 10) ** 2))
    assert law.log_life_se == pytest.approx(own, rel=1e-9)
    assert fit["B"].life.log_life_se > 1.1 * same["B"].life.log_life_se


def test_a_band_holds_the_curve_and_widens_beyond_the_readings():
    fit = fit_study(**study((900.0,), cv=0.05, place_sd=0.03), limit=10.0)["A"]
    band = fit.predict([0, 160, 320, 900])
    assert np.all((band.low < band.value) & (band.value < band.high))
    width = np.log(band.high / band.low)
    assert width[3] > width[2] > width[1]
    assert band.value[3] == pytest.approx(10.0, rel=0.2)


def test_repeats_that_scatter_as_the_readings_do_are_knowledge_of_their_scatter():
    data = study((200.0,), cv=0.04, places=1, seed=4, stages=(0, 40, 100, 200, 260))
    stated = {"relative_u": np.full(len(data["cuts"]), 0.06)}

    def width(**options):
        life = fit_study(**data, limit=10.0, power=2.0, **options)["A"].life.by_law
        return np.log(life.high / life.low), life.df

    assert width(**stated, relative_u_df=20)[0] < width(**stated)[0]
    assert width(**stated, relative_u_df=20)[1] == pytest.approx(3 + 20, rel=0.01)
    # Readings that scatter beyond what was stated are judged by themselves alone.
    little = {"relative_u": np.full(len(data["cuts"]), 0.005)}
    assert_allclose(width(**little, relative_u_df=20), width(**little), rtol=1e-9)


@pytest.mark.parametrize(
    ("change", "match"),
    [
        ({"law": "cube"}, 'no law "cube"'),
        ({"power": -1.0}, "power: -1.0"),
        ({"limit": 0.0}, "limit: 0.0"),
        ({"cuts": [0, -1, 2]}, "cuts: -1 in reading 2"),
        ({"value": [1, -2, 3]}, "value: -2 in reading 2"),
        ({"station": ["a"]}, "station: 1 entries for 3 readings"),
        ({"limit": {"B": 10.0}, "cuts": [0, 1, 2]}, "limit: no entry for A"),
        ({"limit_of_fresh": 2.0}, "two limits"),
    ],
)
def test_refusals_name_what_was_met(change, match):
    given = {
        "blade": ["A"] * 3,
        "cuts": [0, 1, 2],
        "value": [1.0, 2.0, 3.0],
        "limit": 10.0,
    } | change
    with pytest.raises(UnusableInput, match=match):
        fit_study(**given)


def test_results_speak_json_tables_and_sentences():
    fit = fit_study(**study(cv=0.03), limit=10.0)
    told = json.loads(json.dumps(fit.to_dict(), allow_nan=False))
    first = told["blades"][0]
    assert set(first) >= {"blade", "law", "parameters", "life", "residual_cv", "warnings"}
    assert set(first["life"]) == {"cuts", "low", "high", "extrapolated", "censored"}
    assert set(first["parameters"]["w0"]) == {"value", "low", "high"}
    assert list(fit.to_frame()["blade"]) == ["A", "B", "C"]
    table = fit["A"].to_frame()
    assert table["cuts"].tolist() == list(STAGES)
    assert table["readings"].tolist() == [3] * 7
    assert 0 < table["spread_cv"].mean() < 0.1
    assert fit["A"].summary().startswith("A: ")
    with pytest.raises(KeyError):
        fit["Z"]


@pytest.mark.parametrize(
    ("direction", "fresh", "worn", "told"),
    [(1, 3.0, 5.0, None), (1, 6.0, 5.0, 10.0), (-1, 5.0, 3.0, None), (-1, 2.0, 3.0, 10.0)],
)
def test_a_band_that_reaches_beyond_the_first_number_tells_nothing_before_it(
    direction, fresh, worn, told
):
    """Of readings that rise with wear and of those that fall; nothing is read before 10 cuts."""

    @dataclass(frozen=True)
    class Fit:
        cuts: tuple = (0.0, 10.0, 20.0)
        value: tuple = (np.nan, 4.0, 5.0)
        told_from: float | None = None

        def predict(self, cuts):
            ends = np.array([fresh, worn])
            return SimpleNamespace(high=ends if direction > 0 else ends + 9,
                                   low=ends - 9 if direction > 0 else ends)  # fmt: skip

    one = Fit(np.array(Fit.cuts), np.array(Fit.value))
    assert _told(one, SimpleNamespace(direction=direction), at_end=False).told_from == told
