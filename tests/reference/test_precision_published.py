"""Repeatability, outliers and power against published answers.

Sources: ISO 5725-2:1994 annex B.1 (sulfur in coal); JCGM 100:2008 (GUM) H.5; NIST StRD analysis
of variance (files in scipy's own tests); NIST/SEMATECH e-Handbook 1.3.5.17.1 and .3 (Grubbs,
Rosner); R's power.t.test documentation; J. Cohen (1988), power tables.
"""

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.stats.outliers import grubbs, name_outliers
from edgetest.wear.plan.pooled_blades import blades_to_tell, power_to_tell
from edgetest.wear.plan.repeatability import repeatability

SULFUR = {
    1: (
        ".71 .71 .70 .71 | .69 .67 .68 | .66 .65 .69 | .67 .65 .66 | .70 .69 .66 .71 .69 |"
        ".73 .74 .73 | .71 .71 .69 | .70 .65 .68",
        (0.690, 0.015, 0.026),
    ),
    2: (
        "1.20 1.18 1.23 1.21 | 1.22 1.21 1.22 | 1.28 1.31 1.30 | 1.23 1.18 1.20 |"
        "1.31 1.22 1.22 1.24 | 1.39 1.36 1.37 | 1.20 1.26 1.26 | 1.24 1.22 1.30",
        (1.252, 0.029, 0.061),
    ),
    3: (
        "1.68 1.70 1.68 1.69 | 1.64 1.64 1.65 | 1.61 1.61 1.62 | 1.68 1.66 1.66 |"
        "1.64 1.67 1.60 1.66 1.68 | 1.70 1.73 1.73 | 1.69 1.70 1.68 | 1.67 1.68 1.67",
        (1.667, 0.017, 0.035),
    ),
    4: (
        "3.26 3.26 3.20 3.24 | 3.20 3.20 3.20 | 3.37 3.36 3.38 | 3.16 3.22 3.23 |"
        "3.20 3.19 3.18 3.27 3.24 | 3.27 3.31 3.29 | 3.27 3.24 3.23 | 3.25 3.26 3.26",
        (3.250, 0.026, 0.058),
    ),
}


@pytest.mark.parametrize("level", SULFUR)
def test_sulfur_in_coal(level):
    text, (mean, repeat, reproduce) = SULFUR[level]
    rows = [part.split() for part in text.split("|")]
    value = [float(x) for row in rows for x in row]
    laboratory = [str(i) for i, row in enumerate(rows) for _ in row]
    found = repeatability(value, laboratory)
    published = [found.mean, found.sd_repeat, found.sd_reproduce]
    assert_allclose(published, [mean, repeat, reproduce], atol=5.1e-4)
    assert_allclose(found.repeat_limit, 2.8 * found.sd_repeat)


def test_voltage_over_ten_days_of_gum_h5():
    means = 10 + 1e-6 * np.array([172, 116, 13, 144, 106, 31, 60, 125, 163, 41])
    sd = 1e-6 * np.array([60, 77, 111, 101, 67, 93, 80, 73, 88, 86])
    pattern = np.array([-2.0, -1, 0, 1, 2]) / np.sqrt(2.5)
    found = repeatability((means[:, None] + sd[:, None] * pattern).ravel(), np.repeat(range(10), 5))
    assert_allclose(found.mean, 10.000097, atol=5e-7)
    assert_allclose(found.sd_repeat * 1e6, 85, atol=0.5)
    assert_allclose(np.sqrt(found.f * found.sd_repeat**2 / 5) * 1e6, 57, atol=0.5)
    assert_allclose(found.f, 2.25, atol=0.02)


@pytest.mark.parametrize(
    ("name", "f", "residual", "rtol"),
    [
        ("SiRstv", 1.18046237440255, 0.104076068334656, 1e-12),
        ("AtmWtAg", 15.9467335677930, 1.51048314446410e-05, 1e-8),
        ("SmLs01", 21.0, 0.1, 1e-12),
    ],
)
def test_nist_analysis_of_variance(name, f, residual, rtol):
    folder = Path(find_spec("scipy").submodule_search_locations[0])
    path = folder / "stats" / "tests" / "data" / "nist_anova" / f"{name}.dat"
    if not path.exists():
        pytest.skip("scipy came without its tests")
    rows = [line.split() for line in path.read_text().splitlines()[60:] if line.strip()]
    found = repeatability([float(y) for _, y in rows], [group for group, _ in rows])
    assert_allclose([found.f, found.sd_repeat], [f, residual], rtol=rtol)


def test_grubbs_of_the_nist_handbook():
    value = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]
    index, statistic, critical = grubbs(value)
    assert (index, round(statistic, 4), round(critical, 3)) == (7, 2.4688, 2.127)
    assert_allclose(grubbs(value, two_sided=False)[2], 2.032, atol=5e-4)


ROSNER = """
-.25 .68 .94 1.15 1.20 1.26 1.26 1.34 1.38 1.43 1.49 1.49 1.55 1.56 1.58 1.65 1.69 1.70
1.76 1.77 1.81 1.91 1.94 1.96 1.99 2.06 2.09 2.10 2.14 2.15 2.23 2.24 2.26 2.35 2.37 2.40
2.47 2.54 2.62 2.64 2.90 2.92 2.92 2.93 3.21 3.26 3.30 3.59 3.68 4.30 4.64 5.34 5.42 6.01
"""


def test_rosner_of_the_nist_handbook():
    value = [float(x) for x in ROSNER.split()]
    outliers, statistics, critical = name_outliers(value, 10)
    r = [3.118, 2.942, 3.179, 2.810, 2.815, 2.848, 2.279, 2.310, 2.101, 2.067]
    bound = [3.158, 3.151, 3.143, 3.136, 3.128, 3.120, 3.111, 3.103, 3.094, 3.085]
    assert_allclose(statistics, r, atol=1.5e-3)  # the handbook cuts digits off
    assert_allclose(critical, bound, atol=1.5e-3)
    assert [value[i] for i in outliers] == [6.01, 5.42, 5.34]


def test_power_for_two_means():
    assert_allclose(power_to_tell(20, np.e, 1.0), 0.8689528, atol=1e-6)
    assert_allclose(power_to_tell(100, np.e, 2.5), 0.8036466, atol=2e-6)
    assert_allclose(blades_to_tell(np.e, 1.0, power=0.9), 22.02110, atol=2e-5)


@pytest.mark.parametrize(("d", "n"), [(0.5, 64), (0.8, 26)])
def test_cohens_table(d, n):
    assert int(np.ceil(blades_to_tell(np.exp(d), 1.0, power=0.8))) == n
