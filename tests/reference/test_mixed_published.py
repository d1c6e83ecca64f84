"""The mixed-effects fit against Pinheiro and Bates, Mixed-Effects Models in S and S-PLUS (2000).

Rail (travel time in six rails, three readings each) and Oxide (two sources, eight lots of three
wafers with three sites each), data as in R's nlme; answers of nlme by REML.
"""

import numpy as np
from numpy.testing import assert_allclose

from edgetest.stats.contrast import pooled_t
from edgetest.stats.mixed import fit_mixed, nested_shifts

RAIL = [55, 53, 54, 26, 37, 32, 78, 91, 85, 92, 100, 96, 49, 51, 50, 80, 85, 83]
OXIDE = """
2006 1999 2007 1980 1988 1982 2000 1998 2007 1991 1990 1988 1987 1989 1988 1985 1983 1989
2000 2004 2004 2001 1996 2004 1999 2000 2002 1997 1994 1996 1996 2000 2002 1987 1990 1995
2013 2004 2009 2023 2018 2010 2020 2023 2015 2032 2036 2030 2018 2022 2026 2009 2010 2011
1984 1993 1993 1992 1992 1990 1996 1993 1987 1996 1989 1996 1997 1993 1996 1990 1989 1992
"""


def test_rails():
    fit = fit_mixed(RAIL, np.ones((18, 1)), nested_shifts({"rail": np.repeat(range(6), 3)}))
    assert_allclose(fit.effects, [66.5], rtol=1e-12)
    assert_allclose([fit.sd["rail"], fit.sd["residual"]], [24.805, 4.0208], rtol=2e-5)
    assert_allclose(fit.log_likelihood, -61.0885, atol=5e-5)


def test_oxide_sites_inside_wafers_inside_lots():
    levels = {"lot": np.repeat(range(8), 9), "wafer": np.tile(np.repeat([1, 2, 3], 3), 8)}
    fit = fit_mixed([float(x) for x in OXIDE.split()], np.ones((72, 1)), nested_shifts(levels))
    assert_allclose(fit.effects, [2000.153], atol=5e-4)
    sd = [fit.sd["lot"], fit.sd["wafer"], fit.sd["residual"]]
    assert_allclose(sd, [11.398, 5.989, 3.5453], rtol=5e-5)
    assert_allclose(fit.log_likelihood, -227.0110, atol=5e-5)


def test_balanced_nested_readings_give_the_t_interval_of_the_blade_means():
    rng = np.random.default_rng(3)
    blades = rng.normal(0, 0.2, 6)
    readings = np.repeat(blades, 4) + rng.normal(0, 0.05, 24)
    treatment = np.repeat([0, 0, 0, 1, 1, 1], 4)
    fixed = np.column_stack([treatment == 0, treatment == 1]).astype(float)
    fit = fit_mixed(readings, fixed, nested_shifts({"blade": np.repeat(range(6), 4)}))
    joint = fit.contrast([-1, 1])
    means = readings.reshape(6, 4).mean(axis=1)
    staged = pooled_t(means[:3], means[3:])
    assert_allclose([joint.low, joint.high], [staged.low, staged.high], rtol=1e-6)
    assert_allclose(joint.df, 4, rtol=1e-6)


def test_known_reading_variance_leaves_the_rest_to_the_blades():
    y, sides = np.array([0.0, 0.3, 0.5, 0.4, 0.9, 0.6]), np.repeat(np.eye(2), 3, axis=0)

    def contrast(se):
        return fit_mixed(y, sides, known_variance=np.square(se)).contrast([-1, 1])

    without, even = contrast(np.full(6, 1e-9)), contrast(np.full(6, 0.1))
    ends = [even.low, even.high]  # even uncertainty is in the scatter
    assert_allclose(ends, [without.low, without.high], rtol=1e-6)
    heavy = contrast([0.01, 0.01, 0.9, 0.1, 0.1, 0.1])
    assert heavy.difference > without.difference  # the blade at 0.5 hardly counts
