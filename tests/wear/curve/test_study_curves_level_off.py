"""Curves that level off or fall: where they meet their limit, or the least life instead."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq, minimize_scalar

from tests.wear.columns import codes, fit_study


def test_severing_force_levels_off_and_doubles():
    rng = np.random.default_rng(5)
    n = np.tile(np.array([0, 2, 6, 14, 30, 60, 90, 126.0]), 2)
    force = 200 * (1 + 1.4 * (1 - np.exp(-n / 30))) * np.exp(0.02 * rng.standard_normal(16))
    blade = ["A"] * 8 + ["B"] * 8
    fit = fit_study(blade, n, force, law="saturating", limit_of_fresh=2.0, unit="gf")
    truth = -30 * np.log(1 - 1 / 1.4)
    assert_allclose([f.life.cuts for f in fit.blades], truth, rtol=0.15)
    assert all(f.life.low < truth < f.life.high for f in fit.blades)
    assert fit.power is None
    never = fit_study(blade, n, force, law="saturating", limit=900.0, unit="gf")
    assert never["A"].life.cuts == np.inf
    assert never["A"].life.low == 126
    assert never["A"].life.by_law.low > 126
    assert "never_reaches_limit" in codes(never["A"])


def test_a_blade_read_past_its_limit_but_not_surely_is_told_so_and_not_that_it_stopped_short():
    """A saturating force: 452 gf at the last of four stages, with a limit of 400 gf."""
    cuts = [0, 2, 14, 30]
    past = fit_study(["A"] * 4, cuts, [92, 160, 310, 452], law="saturating", limit=400, unit="gf")
    assert (past["A"].life.high, past["A"].life.extrapolated) == (np.inf, False)
    assert "not_surely_past" in codes(past["A"])
    assert "no_upper_end" not in codes(past["A"])
    cuts, forces = [*cuts, 62], [92, 160, 310, 452, 650]
    on = fit_study(["A"] * 5, cuts, forces, law="saturating", limit=380, unit="gf")
    assert np.isfinite(on["A"].life.high)  # cut on, as the doubt asks
    assert not {"not_surely_past", "no_upper_end"} & set(codes(on["A"]))


def fall_of_fresh(law, psi, clock, life, multiple, y, n):
    """Least sum of squares of curves that reach their multiple at `life`, by brute search."""

    def lost(other):
        free = np.array(psi, dtype=float)
        free[1 - clock] = other
        reach = brentq(
            lambda at: law.log_shape(np.array([life * np.exp(at)]), free)[0] - multiple, -12, 12
        )
        shape = law.log_shape(n * np.exp(reach), free)
        left = y - shape
        return float(((left - left.mean()) ** 2).sum())

    bounds = psi[1 - clock] - 3, psi[1 - clock] + 3
    return min(
        minimize_scalar(lost, bounds=(low, low + 0.6), method="bounded").fun
        for low in np.arange(bounds[0], bounds[1], 0.5)
        if np.isfinite(lost_or_inf(lost, low)) and np.isfinite(lost_or_inf(lost, low + 0.6))
    )


def lost_or_inf(lost, at):
    """The loss, or inf where the curve never reaches its multiple."""
    try:
        return lost(at)
    except ValueError:
        return np.inf


@pytest.mark.parametrize(
    ("name", "psi", "multiple"),
    [
        ("saturating", [np.log(1.6), np.log(30.0)], 2.0),
        ("falling_power", [np.log(9.0), np.log(0.6)], 0.5),
        ("falling_exponential", [-1.5, np.log(30.0)], 0.5),
        ("falling_hyperbolic", [-1.5, np.log(30.0)], 0.6),
    ],
)
def test_ends_of_a_life_to_a_multiple_of_fresh_are_where_the_fit_objects(name, psi, multiple):
    from scipy.special import stdtrit

    from edgetest.wear.curve.laws import LAWS

    law, n = LAWS[name], np.array([0, 3, 6, 14, 30, 60, 90, 126.0])
    noise = 0.02 * np.random.default_rng(9).standard_normal(len(n))
    y = law.log_shape(n, np.array(psi)) + noise
    fit = fit_study(["A"] * 8, n, 200 * np.exp(y), law=name, limit_of_fresh=multiple)["A"]
    best = float((fit.residuals**2).sum())
    clock, _ = law.clock
    for end in (fit.life.by_law.low, fit.life.by_law.high):
        fall = fall_of_fresh(law, fit.psi, clock, end, np.log(multiple), y, n)
        rise = (fall - best) / (best / (len(n) - 3))
        assert rise == pytest.approx(stdtrit(5, 0.975) ** 2, rel=0.01)


def test_a_curve_that_levels_off_below_its_multiple_has_a_least_life():
    n = np.array([0, 2, 6, 14, 30, 60, 90, 126.0])
    noise = 0.05 * np.random.default_rng(11).standard_normal(len(n))
    force = 200 * (1 + 0.97 * (1 - np.exp(-n / 30))) * np.exp(noise - noise[0])
    fit = fit_study(["A"] * 8, n, force, law="saturating", limit_of_fresh=2.05)["A"]
    assert fit.life.cuts == np.inf
    assert 30 < fit.life.low < 126  # readings that scatter by 5 % may well have doubled


@pytest.mark.parametrize("law", ["falling_power", "falling_exponential", "falling_hyperbolic"])
def test_falling_readings_have_their_limit_below(law):
    from edgetest.wear.curve.laws import LAWS

    psi = {"falling_power": [np.log(9.0), np.log(0.6)]}.get(law, [-1.0, np.log(15.0)])
    n = np.arange(0, 60, 4.0)
    clean = 20.0 * np.exp(LAWS[law].log_shape(n, np.array(psi)))
    truth = LAWS[law].cuts_at(np.log(11.0 / 20.0), np.array(psi))
    noise = np.exp(0.02 * np.random.default_rng(8).standard_normal(len(n)))
    fit = fit_study(["A"] * len(n), n, clean * noise, law=law, limit=11.0, unit="mm")
    life = fit["A"].life
    assert life.by_law.low < truth < life.by_law.high
    assert life.cuts == pytest.approx(truth, rel=0.1)
    assert not life.extrapolated
    assert not life.censored
