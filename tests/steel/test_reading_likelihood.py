"""How likely a reading is, were the steel so hard: sums over the tester's bias, by hand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm

from edgetest.steel.reading_likelihood import (
    AGAIN_U_HRC,
    BIAS_W,
    MISREAD_HRC,
    biases,
    bins_of,
    pooled,
    reading_likelihood,
)
from edgetest.study.steel.steel_tables_file import load_steel_tables
from tests.steel.seen_steel import files, number

TABLES = load_steel_tables()
MEAN, SD = np.array([[50.0, 60.0]]), np.array([[2.0, 3.0]])
WRONG = TABLES.row("reading", "wrong")["chance"]


def test_the_bias_all_readings_share_is_normal_about_none():
    shared = TABLES.row("reading", "shared")["u_hrc"]
    assert BIAS_W.sum() == pytest.approx(1.0)
    assert BIAS_W @ biases(TABLES) == pytest.approx(0.0, abs=1e-12)
    assert BIAS_W @ biases(TABLES) ** 2 == pytest.approx(shared**2)


def test_a_number_is_normal_with_both_spreads_or_astray():
    found = reading_likelihood((number(57, u=1.5),), MEAN, SD, TABLES)
    assert found.shape == (1, 2, 5)
    for j, bias in enumerate(biases(TABLES)):
        own = norm.pdf(57 - bias, MEAN, np.hypot(SD, 1.5))
        astray = norm.pdf(57, MEAN, MISREAD_HRC)
        assert_allclose(found[..., j], (1 - WRONG) * own + WRONG * astray, rtol=1e-10)


@pytest.mark.parametrize(("low", "high"), [(55, 60), (None, 40), (60, None)])
def test_a_bracket_is_the_chance_between_its_ends(low, high):
    """A file set that is too hard by the bias lets softer steel pass: the ends move up with it."""
    feel = TABLES.row("reading", "file")["u_hrc"]
    found = reading_likelihood((files(low, high),), MEAN, SD, TABLES)
    ends = (-np.inf if low is None else low), (np.inf if high is None else high)
    for j, bias in enumerate(biases(TABLES)):
        s = np.hypot(SD, feel)
        own = norm.cdf(ends[1] + bias, MEAN, s) - norm.cdf(ends[0] + bias, MEAN, s)
        astray = norm.cdf(ends[1], MEAN, MISREAD_HRC) - norm.cdf(ends[0], MEAN, MISREAD_HRC)
        assert_allclose(found[..., j], (1 - WRONG) * own + WRONG * astray, rtol=1e-9, atol=1e-15)


def test_contradicting_readings_are_pooled_as_either_may_be_true():
    both = reading_likelihood((number(40), number(62)), MEAN, SD, TABLES)
    each = [reading_likelihood((number(x),), MEAN, SD, TABLES) for x in (40, 62)]
    assert_allclose(both, (each[0] + each[1]) / 2)


def test_alike_readings_are_one_and_what_is_apart_stays_apart():
    (mean,) = pooled((number(58), number(60), number(59)))
    assert mean.low_hrc == mean.high_hrc == pytest.approx(59)
    assert mean.u_hrc == pytest.approx((1 / 3 + AGAIN_U_HRC**2) ** 0.5)
    assert len(pooled((number(50), number(60)))) == 2  # 5 from their mean: more than three u
    assert len(pooled((number(54), number(60)))) == 1
    assert pooled((number(58), number(58))) == [number(58)]
    assert pooled((files(55, 62), files(58, 65))) == [files(58, 62)]
    assert pooled((files(None, 60), files(50, None))) == [files(50, 60)]
    assert len(pooled((files(50, 55), files(55, 60)))) == 2


def test_shares_of_bins_sum_to_one():
    found = bins_of(MEAN, SD, (45.0, 57.0))
    expected = np.stack(
        [norm.cdf(45, MEAN, SD), norm.cdf(57, MEAN, SD) - norm.cdf(45, MEAN, SD),
         norm.sf(57, MEAN, SD)],
        axis=-1,
    )  # fmt: skip
    assert_allclose(found, expected, rtol=1e-9)
