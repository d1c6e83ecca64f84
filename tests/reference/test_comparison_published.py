"""The comparison against published answers and against scipy, exact without reading error.

Sources: NIST/SEMATECH e-Handbook 1.3.5.3 (AUTO83B, two-sample t) and 1.3.5.17 (Grubbs, Rosner);
clinic data of statsmodels' test_tost.py with the answers of R's package equivalence; shoe soles
of Box, Hunter and Hunter (R MASS, shoes); UC Berkeley / NASA Ames milling wear (Agogino and
Goebel 2007) with answers computed in R; C. W. Dunnett (1955), blood counts, p values as in
scipy's documentation.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.stats.contrast import pooled_t, welch_t
from edgetest.stats.multiple_comparisons import (
    dunnett_coverage,
    dunnett_quantile,
    studentized_range_quantile,
)
from tests.wear.columns import compare_lives

CLINIC_1 = [
    2.84,
    2.51,
    2.41,
    2.95,
    3.14,
    3.79,
    4.14,
    3.85,
    3.02,
    3.45,
    5.37,
    3.81,
    4.19,
    3.16,
    3.84,
]
CLINIC_2 = [
    2.60,
    2.82,
    2.18,
    3.46,
    4.01,
    3.04,
    3.47,
    4.06,
    2.91,
    3.59,
    4.51,
    3.16,
    3.86,
    3.31,
    3.02,
]
SHOE_A = [13.2, 8.2, 10.9, 14.3, 10.7, 6.6, 9.5, 10.8, 8.8, 13.3]
SHOE_B = [14.0, 8.8, 11.2, 14.2, 11.8, 6.4, 9.8, 11.3, 9.3, 13.6]


def compare(first, second, **options):
    """Two groups of log lives without reading error."""
    n = len(first), len(second)
    blade = [f"a{i}" for i in range(n[0])] + [f"b{i}" for i in range(n[1])]
    return compare_lives(blade, ["first"] * n[0] + ["second"] * n[1], [*first, *second], **options)


def log_ends(ratio):
    return np.log([ratio.low, ratio.high])


def with_moments(n, mean, sd):
    """A sample that has exactly this mean and standard deviation."""
    x = np.linspace(-1, 1, n)
    return mean + sd * (x - x.mean()) / x.std(ddof=1)


def test_two_sample_t_of_auto83b():
    usa, japan = with_moments(249, 20.14458, 6.41470), with_moments(79, 30.48101, 6.10771)
    pooled, welch = pooled_t(japan, usa), welch_t(japan, usa)
    assert_allclose(pooled.difference / pooled.stderr, -12.62059, atol=5e-5)
    assert pooled.df == 326
    assert_allclose(welch.difference / welch.stderr, -12.94627, atol=5e-5)
    assert_allclose(welch.df, 136.875, atol=1e-3)


@pytest.mark.parametrize("sizes", [(2, 2), (3, 3), (5, 5), (3, 5), (7, 4)])
def test_interval_is_scipys_without_reading_error(sizes):
    from scipy.stats import ttest_ind

    rng = np.random.default_rng(sum(sizes))
    a, b = rng.normal(6, 0.2, sizes[0]), rng.normal(6.1, 0.1, sizes[1])
    theirs = ttest_ind(b, a, equal_var=sizes[0] == sizes[1])
    ours = compare(a, b)
    assert_allclose(log_ends(ours.ratio), theirs.confidence_interval(0.95), rtol=1e-10)
    assert_allclose(ours.ratio.df, theirs.df, rtol=1e-10)


def test_equivalence_of_the_clinic_data():
    found = compare(CLINIC_2, CLINIC_1, margin=np.exp(0.6) - 1)
    assert_allclose(np.log(found.ratio.estimate), 0.1646667, atol=5e-8)
    practical = found.practical
    assert_allclose(np.log([practical.low, practical.high]), [-0.265996, 0.595329], atol=5e-7)
    assert practical.verdict == "no_relevant_difference"
    # The published p is 0.0482732: just so equivalent at 0.6, not at a slightly smaller margin.
    assert compare(CLINIC_2, CLINIC_1, margin=np.exp(0.595) - 1).practical.verdict == "cannot_tell"
    welch = welch_t(CLINIC_2, CLINIC_1, level=0.9)
    assert_allclose([welch.low, welch.high], [-0.266686, 0.596020], atol=5e-7)
    assert_allclose(welch.df, 26.74848, atol=5e-6)


def test_equivalence_of_the_clinic_data_in_pairs():
    pairs = [f"patient {i}" for i in range(15)] * 2
    found = compare(CLINIC_2, CLINIC_1, block=pairs, margin=np.exp(0.6) - 1)
    assert found.ratio.df == 14
    practical = found.practical
    assert_allclose(np.log([practical.low, practical.high]), [-0.0744337, 0.4037670], atol=5e-8)


def test_shoe_soles_in_pairs():
    found = compare(SHOE_A, SHOE_B, block=[f"boy {i}" for i in range(10)] * 2)
    assert_allclose(log_ends(found.ratio), [0.133, 0.687], atol=5e-4)
    assert_allclose(np.log(found.ratio.estimate), 0.41, atol=1e-12)
    assert found.ratio.df == 9
    assert found.practical.verdict == "longer"
    apart = compare(SHOE_A, SHOE_B)
    assert apart.practical.verdict == "cannot_tell"  # unpaired p 0.717


MINUTES_TO_03_MM = {  # tool: minutes to 0.30 mm of flank wear, by linear interpolation
    "steel": [6.20, 14.20, 6.00, 15.33, 10.64, 6.67, 4.125],
    "cast iron": [29.33, 43.80, 59.40, 20.45, 23.64, 23.73, 55.80, 40.50],
}


def test_milling_tools_with_tools_as_replicates():
    first, second = (np.log(MINUTES_TO_03_MM[name]) for name in ("steel", "cast iron"))
    found = compare(first, second)
    assert_allclose(found.ratio.estimate, 4.230, atol=5e-4)
    assert_allclose([found.ratio.low, found.ratio.high], [2.526, 7.085], atol=2e-3)
    assert_allclose(found.ratio.df, 11.82, atol=5e-3)
    pooled = pooled_t(first, second)
    assert_allclose(np.exp([pooled.low, pooled.high]), [2.555, 7.004], atol=2e-3)


@pytest.mark.parametrize(("groups", "df"), [(2, 2), (3, 4), (4, 8), (10, 30)])
def test_studentized_range_against_scipy(groups, df):
    from scipy.stats import studentized_range

    theirs = studentized_range.ppf(0.95, groups, df)
    assert_allclose(studentized_range_quantile(0.95, groups, float(df)), theirs, rtol=1e-7)


def test_dunnett_blood_counts():
    control = [7.40, 8.50, 7.20, 8.24, 9.84, 8.32]
    drugs = [[9.76, 8.80, 7.68, 9.36], [12.80, 9.68, 12.16, 9.20, 10.55]]
    groups = [np.array(control), *map(np.array, drugs)]
    df = sum(len(g) - 1 for g in groups)
    variance = sum(((g - g.mean()) ** 2).sum() for g in groups) / df
    shares = tuple(len(g) / (len(g) + 6) for g in groups[1:])
    p = [
        1
        - dunnett_coverage(
            abs(g.mean() - groups[0].mean()) / np.sqrt(variance * (1 / len(g) + 1 / 6)), shares, df
        )
        for g in groups[1:]
    ]
    # scipy integrates by quasi Monte Carlo: about 1e-4.
    assert_allclose(p, [0.62004941, 0.0058889], atol=1e-4)


def test_dunnett_of_one_comparison_is_student():
    from scipy.special import stdtrit

    assert_allclose(dunnett_quantile(0.95, (0.5,), 4.0), stdtrit(4, 0.975), rtol=1e-7)


# Hours of sleep gained under two drugs by ten patients, R's data set sleep (Student 1908);
# answers as R's t.test prints them, from memory.
SLEEP_1 = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
SLEEP_2 = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]


def test_sleep_gained_in_pairs_and_apart():
    paired = compare(SLEEP_1, SLEEP_2, block=[f"patient {i}" for i in range(10)] * 2)
    assert_allclose(log_ends(paired.ratio), [0.7001142, 2.4598858], atol=5e-8)
    assert paired.ratio.df == 9
    welch = welch_t(SLEEP_1, SLEEP_2)
    assert_allclose(welch.df, 17.776, atol=5e-4)
    assert_allclose([welch.low, welch.high], [-0.2054832, 3.3654832], atol=5e-8)
    assert compare(SLEEP_1, SLEEP_2).practical.verdict == "cannot_tell"
