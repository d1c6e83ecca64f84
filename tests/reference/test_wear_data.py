"""Real growth curves: fatigue cracks of 21 specimens and flank wear of 16 milling tools.

Alloy A fatigue cracks: Hudak and others (AFML-TR-78-40, 1978), Bogdanoff and Kozin (1985), Lu and
Meeker (Technometrics 35, 1993, 161-174); numbers as in R package nlme, `Fatigue`. Milling: see
`milling.py`. Expected values computed with R 4.2 (per-specimen fits, interpolation) unless said.
"""

from pathlib import Path

import numpy as np
import pytest

from tests.reference.milling import milling
from tests.stats.one_curve import fit_curve
from tests.wear.columns import codes, fit_study

LINEAR = [29.33, 43.80, 59.40, 20.45, 6.20, np.nan, 14.20, 6.00, 23.64, 23.73, 55.80, 40.50]
LINEAR += [15.33, 10.64, 6.67, 4.125]


def cracks():
    """Path number, million cycles, crack length in inches."""
    table = np.loadtxt(Path(__file__).parent / "alloy_a.csv", delimiter=",", skiprows=1)
    return table[:, 0].astype(int), table[:, 1], 0.9 * table[:, 2]


def growth(cycles, m, b):
    """Paris' law integrated from 0.9 in: a^(1 - m/2) = 0.9^(1 - m/2) + (1 - m/2) b t; its log."""
    e = 1 - m / 2
    return np.log(0.9**e + e * b * cycles) / e


def test_paris_law_of_every_specimen_through_the_core():
    path, cycles, length = cracks()
    fits = []
    for p in range(1, 22):
        here = path == p
        fits.append(fit_curve(growth, cycles[here], np.log(length[here]), start=(4.0, 3.0)))
    m, b = np.array([f.params for f in fits]).T
    assert all(f.converged for f in fits)
    assert (m.mean(), b.mean()) == pytest.approx((5.142, 3.732), abs=6e-4)
    assert (m.var(ddof=1), b.var(ddof=1)) == pytest.approx((0.312, 0.547), abs=6e-4)
    assert np.cov(m, b)[0, 1] == pytest.approx(-0.196, abs=6e-4)
    pooled = np.sqrt(sum(f.df * f.residual_sd**2 for f in fits) / sum(f.df for f in fits))
    assert pooled == pytest.approx(0.0058, abs=6e-5)


def test_lives_of_the_specimens_that_never_reached_the_limit():
    path, cycles, length = cracks()
    lives = []
    for p in range(1, 22):
        here = path == p
        if length[here].max() < 1.6:
            m, b = fit_curve(growth, cycles[here], np.log(length[here]), start=(4.0, 3.0)).params
            e = 1 - m / 2
            lives.append((1.6**e - 0.9**e) / (e * b))
    assert len(lives) == 9
    assert (min(lives), max(lives)) == pytest.approx((0.128, 0.171), abs=6e-4)


def test_cracks_are_no_wedge_and_the_fit_says_so():
    """Cracks speed up; the wedge law slows down. The misfit must be told, the censoring too."""
    path, cycles, length = cracks()
    fit = fit_study([str(p) for p in path], 1e6 * cycles, length, limit=1.6, unit="in")
    assert "law_misfits" in codes(fit)
    assert fit.power.value < 0.4
    reached = [length[path == p].max() >= 1.6 for p in range(1, 22)]
    assert [not f.life.censored for f in fit.blades] == reached
    crossings = sorted(f.life.cuts for f, r in zip(fit.blades, reached, strict=True) if r)
    interpolated = [0.0876, 0.1000, 0.1011, 0.1029, 0.1032, 0.1054, 0.1058, 0.1085]
    interpolated += [0.1131, 0.1155, 0.1170, 0.1176]
    # Within the readings a life leans on those near the limit, whichever way the law bends: one
    # reading a stage is not met to its last digit, and the interval holds what is left.
    error = np.abs(np.log(crossings) - np.log(1e6 * np.array(interpolated)))
    assert np.max(error) < 6e-3
    lives = sorted((f.life for f, r in zip(fit.blades, reached, strict=True) if r),
                   key=lambda life: life.cuts)  # fmt: skip
    assert all(error < [np.log(life.high / life.low) / 2 for life in lives])


def test_milling_tools_with_all_their_traps():
    blade, cuts, value = milling()
    fit = fit_study(blade, cuts, value, limit=0.30, unit="mm")
    told = {f.blade: f for f in fit.blades}
    assert told["tool 6"].life is None
    assert codes(told["tool 6"]) == ("too_few_stages",)
    lives = np.array([f.life.cuts if f.life else np.nan for f in fit.blades])
    # Interpolation follows every wiggle of one reading a stage (12 % scatter), the curve does not.
    assert np.nanmax(np.abs(np.log(lives / LINEAR))) < 0.2
    assert abs(np.nanmean(np.log(lives / LINEAR))) < 0.05
    assert not any(f.life.extrapolated for f in fit.blades if f.life)
    zeros = {f.blade for f in fit.blades if "zero_taken_as_below" in codes(f)}
    assert zeros == {f"tool {i}" for i in (1, 3, 5, 7, 8, 9, 10, 11)}
    assert fit.power.high < 1.0  # flank wear here speeds up against the worn wedge's p = 2
    # ... but its growth exponents differ from tool to tool (0.40 to 1.19): one p cannot do.
    assert "law_misfits" in codes(fit)


def test_cast_iron_outlasts_steel_by_about_four():
    """Geometric means of the tools' lives: 4.230 by interpolation (two groups of tools)."""
    blade, cuts, value = milling()
    fit = fit_study(blade, cuts, value, limit=0.30, unit="mm")
    steel = {f"tool {i}" for i in (5, 7, 8, 13, 14, 15, 16)}
    log_life = {f.blade: f.life.log_life for f in fit.blades if f.life}
    of_steel = [x for name, x in log_life.items() if name in steel]
    of_iron = [x for name, x in log_life.items() if name not in steel]
    assert (len(of_steel), len(of_iron)) == (7, 8)
    assert np.exp(np.mean(of_iron) - np.mean(of_steel)) == pytest.approx(4.23, rel=0.05)


def test_turning_tool_exponents():
    """S45C and SKD11 turning curves of repository KIT-AMEL/aist_machining_data: 0.577 and 0.399.

    Exponents by least squares of log wear on log time; from a fresh edge of no width the wedge
    law's 1/p is that exponent.
    """
    minutes = np.array([1, 2.5, 5, 10, 15, 20, 30])
    curves = {
        0.577: [0.011, 0.020, 0.030, 0.040, 0.054, 0.065, 0.081],
        0.399: [0.029, 0.046, 0.057, 0.077, 0.088, 0.098, 0.117],
    }
    for exponent, wear in curves.items():
        slope = np.polyfit(np.log(minutes), np.log(wear), 1)[0]
        assert slope == pytest.approx(exponent, abs=6e-4)
        fit = fit_study(["A"] * 7, minutes, wear, limit=0.3, unit="mm")
        assert fit.power.low < 1 / exponent < fit.power.high
