"""Limits within, beside and beyond the readings: what a life then is, and what is named."""

import json

import numpy as np
import pytest

from tests.wear.columns import codes, fit_study
from tests.wear.curve.exact_study import study


def test_a_life_beyond_reach_is_a_bound_with_the_laws_figure_beside():
    data = study((1500.0, 1800.0), cv=0.03, places=3)
    free = fit_study(**data, limit=10.0)
    set_ = fit_study(**data, limit=10.0, power=2.0)
    for fit in free.blades:
        life = fit.life
        assert (life.beyond_reach, life.extrapolated, life.censored) == (True, True, True)
        assert (life.low, life.high) == (320.0, np.inf)
        assert "beyond_reach" in codes(fit)
        assert abs(life.by_law.log_life_law_u[0]) > life.by_law.log_life_se
        assert life.log_life_law_u == (0.0,)
        told = life.to_dict()
        assert (told["low"], told["high"]) == (320.0, None)
        assert told["only_if_law_holds"]["cuts"] == told["cuts"] == life.by_law.cuts
        assert life.summary().startswith("more than 320 cuts, its last reading; only if the law")
    assert "power_fixed" in codes(set_["A"])
    spread = [np.log(f["A"].life.by_law.high / f["A"].life.by_law.low) for f in (free, set_)]
    assert spread[0] > 1.5 * spread[1]


def test_a_bound_allows_for_the_noise_of_the_last_reading():
    """Levels off just short of the limit: the last reading alone does not show it short."""
    n = np.tile([0, 10, 20, 40, 80, 160, 320.0], 2)
    noise = np.exp(0.1 * np.random.default_rng(3).standard_normal(14))
    value = 2 * (1 + 3.9 * (1 - np.exp(-n / 40))) * noise
    fit = fit_study(["A"] * 7 + ["B"] * 7, n, value, limit=10.4, law="saturating")
    for blade in fit.blades:
        assert blade.life.low < 320
        assert blade.life.least_log_life <= np.log(320)


def test_a_life_is_read_from_the_readings_where_the_law_bends_otherwise():
    """A sudden rise between 200 and 210 cuts: the law runs past it, the life does not."""
    late = np.array([0, 100, 150, 180, 200, 210, 220.0])
    jump = fit_study(["A"] * 7, late, [2, 2.2, 2.5, 3, 6, 12, 13], limit=10.0, power=2.0)
    life = jump["A"].life
    assert 200 < life.cuts < 210
    assert not 200 < life.by_law.cuts < 210
    assert life.log_life_se < 0.3 * life.by_law.log_life_se
    at = jump.log_readings_at(life.cuts)
    assert at.log_reading[0] == pytest.approx(np.log(10.0), abs=1e-6)


def test_the_first_crossing_and_the_last_within_the_readings_are_met_half_way():
    n = np.array([0, 50, 100, 150, 200, 250, 300.0])
    value = np.array([2, 6.0, 11.0, 9.0, 11.0, 14.0, 18.0])
    life = fit_study(["A"] * 7, n, value, limit=10.0, relative_u=[0.001] * 7)["A"].life
    assert life.low < 90
    assert 100 < life.cuts < 175
    assert life.high > 175


def test_a_wrong_power_is_noticed():
    fit = fit_study(**study(cv=0.03, places=4, power=3.5), limit=10.0, power=2.0)
    assert "power_misfits" in codes(fit)
    told = fit["A"].to_dict()["warnings"]  # a reader of one blade's answer must meet it too
    assert "power_misfits" in [warning["code"] for warning in told]
    assert "contradict the power" in fit.summary()
    right = fit_study(**study(cv=0.03, places=4), limit=10.0, power=2.0)
    assert "power_misfits" not in codes(right)


def test_a_reading_that_stands_out_is_named_and_kept():
    data = study(cv=0.04, places=3, seed=11)
    data["value"][17] *= 1.8
    plain = fit_study(**data, limit=10.0)
    robust = fit_study(**data, limit=10.0, robust=True)
    for fit in (plain, robust):
        assert fit["A"].outlying == (17,)
        (far,) = [one for one in fit["A"].doubts if one.code == "outlying_reading"]
        assert (far.where.blade, far.where.row, far.where.stage) == ("A", 18, 40.0)
        assert far.where.value == data["value"][17]
        assert far.where.expected == pytest.approx(data["value"][17] / 1.8, rel=0.2)
        assert f"It reads {far.where.value:.4g} at 40 cuts, where about" in far.text
        assert len(fit["A"].residuals) == 21
    truth = fit_study(**study(cv=0.04, places=3, seed=11), limit=10.0)["A"].life.log_life
    assert abs(robust["A"].life.log_life - truth) < 0.4 * abs(plain["A"].life.log_life - truth)
    assert robust["B"].life.log_life_se < plain["B"].life.log_life_se


def test_robust_fit_of_clean_readings_stays_put():
    data = study(cv=0.04, places=3, seed=12)
    a, b = fit_study(**data, limit=10.0), fit_study(**data, limit=10.0, robust=True)
    for one, other in zip(a.blades, b.blades, strict=True):
        assert abs(one.life.log_life - other.life.log_life) < 0.3 * one.life.log_life_se


def test_stated_uncertainties_weigh_the_readings():
    data = study((200.0,), cv=0.0, places=1)
    data["value"][-1] *= 1.3
    vague = np.where(np.arange(len(data["cuts"])) == 6, 0.3, 0.01)
    fit = fit_study(**data, limit=10.0, power=2.0, relative_u=vague)
    assert fit["A"].life.cuts == pytest.approx(200, rel=0.02)
    assert fit_study(**data, limit=10.0, power=2.0)["A"].life.by_law.cuts < 180


def test_a_blade_with_too_few_stages_has_no_life_and_a_reason():
    data = study(cv=0.03)
    extra = {"blade": "D", "cuts": 0, "value": 2.1, "station": "10"}
    data = {k: np.append(v, extra[k]) for k, v in data.items()}
    fit = fit_study(**data, limit=10.0)
    assert fit["D"].life is None
    assert codes(fit["D"]) == ("too_few_stages",)
    assert np.isnan(fit["D"].predict([0, 10]).value).all()
    assert fit["A"].life.cuts == pytest.approx(200, rel=0.1)
    assert "no life" in fit["D"].summary()


@pytest.mark.parametrize("rows", [0, 1, 2])
def test_a_study_with_too_few_readings_is_met_calmly(rows):
    fit = fit_study(["A"] * rows, [0.0, 10.0][:rows], [2.0, 3.0][:rows], limit=10.0)
    assert "too_few_stages" in codes(fit)
    assert all(f.life is None for f in fit.blades)
    json.dumps(fit.to_dict(), allow_nan=False)


def test_readings_that_stand_still_give_a_least_life():
    value = [3.0, 3.05, 2.98, 3.02, 2.97, 3.0]
    fit = fit_study(["A"] * 6, [0, 20, 40, 80, 160, 320], value, limit=10.0)
    life = fit["A"].life
    assert life.high == np.inf
    assert life.low == 320
    assert life.by_law.low > 320
    assert life.censored
    assert set(codes(fit["A"])) & {"no_wear_seen", "beyond_reach"}
    assert (
        json.loads(json.dumps(fit.to_dict(), allow_nan=False))["blades"][0]["life"]["high"] is None
    )


def test_falling_readings_are_named():
    value = [6.0, 5.0, 4.0, 3.5, 3.0, 2.5]
    fit = fit_study(["A"] * 6, [0, 20, 40, 80, 160, 320], value, limit=10.0)
    assert "no_wear_seen" in codes(fit["A"])
    assert fit["A"].life.cuts == np.inf


def test_rows_mixed_up_are_named():
    data = study(cv=0.02, places=2)
    cuts = data["cuts"].copy()
    first = data["blade"] == "B"
    cuts[first & (data["cuts"] == 160)] = 20
    cuts[first & (data["cuts"] == 20)] = 160
    fit = fit_study(**data | {"cuts": cuts}, limit=10.0)
    assert "reading_falls_back" in codes(fit["B"])
    assert "reading_falls_back" not in codes(fit["A"])


def test_limit_inside_the_fresh_edge():
    fit = fit_study(**study(cv=0.02), limit=1.5)
    assert fit["A"].life is None
    assert "limit_not_beyond_fresh" in codes(fit["A"])
