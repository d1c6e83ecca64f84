"""A shift that readings of one level share, against the textbook's whole regression."""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import t as student

from edgetest.wear.curve.level_shift import LevelShift, level_shift

STAGES, BLADES = 6, 4
BLADE, STAGE = np.repeat(np.arange(BLADES), STAGES), np.tile(np.arange(STAGES), BLADES)
CUTS = np.array([0.0, 10, 25, 50, 100, 200])[STAGE]
DESIGN = np.column_stack(
    [i == BLADE for i in range(BLADES)]
    + [(i == BLADE) * np.log1p(CUTS) for i in range(BLADES)]
    + [k == STAGE for k in range(STAGES)]
).astype(float)
INSIDE = (STAGE == 3) & (BLADE < 2)


def left_by_curves(log_readings):
    """What remains after each blade's own line, so that the lines have bent to the shift."""
    lines = DESIGN[:, : 2 * BLADES]
    return log_readings - lines @ np.linalg.lstsq(lines, log_readings)[0]


def test_the_slope_of_the_whole_regression():
    noise = 0.02 * np.random.default_rng(5).standard_normal(len(BLADE))
    left = left_by_curves(noise + 0.15 * INSIDE)
    found = level_shift(left, DESIGN, INSIDE)
    whole = np.column_stack([DESIGN, INSIDE])
    slopes, _, rank, _ = np.linalg.lstsq(whole, left)
    rest = left - whole @ slopes
    df = len(left) - rank
    variance = rest @ rest / df * np.linalg.pinv(whole.T @ whole)[-1, -1]
    assert found.df == df
    assert_allclose([found.log_shift, found.stderr], [slopes[-1], variance**0.5], rtol=1e-9)
    assert_allclose(found.log_shift, 0.15, atol=3 * found.stderr)


def test_a_curve_that_bent_to_the_shift_hides_nothing():
    left = left_by_curves(0.15 * INSIDE)
    assert np.mean(left[INSIDE]) < 0.13
    assert_allclose(level_shift(left, DESIGN, INSIDE).log_shift, 0.15, rtol=1e-9)


def test_what_all_blades_do_at_a_stage_is_no_shift_of_the_level():
    found = level_shift(left_by_curves(0.2 * (STAGE == 3)), DESIGN, INSIDE)
    assert abs(found.log_shift) < 1e-9


@pytest.mark.parametrize("inside", [STAGE == 3, BLADE == 1])
def test_a_whole_stage_or_a_whole_blade_cannot_be_told(inside):
    assert level_shift(np.arange(len(BLADE)) * 0.01, DESIGN, inside) is None


def test_nothing_is_told_without_a_degree_of_freedom():
    assert level_shift([0.1, 0.2], np.array([[1.0], [1.0]]), [True, False]) is None


def test_intervals_hold_the_shift_in_their_share_of_cases():
    rng, held, chances = np.random.default_rng(11), 0, []
    for _ in range(2000):
        found = level_shift(0.02 * rng.standard_normal(len(BLADE)), DESIGN, INSIDE)
        _, low, high = found.ratio()
        held += low <= 1 <= high
        chances.append(found.probability)
    assert 0.935 < held / 2000 < 0.965  # three standard errors
    assert 0.035 < np.mean(np.array(chances) < 0.05) < 0.065


def test_ratio_and_chance_are_those_of_students_t():
    value, low, high = (found := LevelShift(0.1, 0.03, 7)).ratio(0.9)
    half = student.ppf(0.95, 7) * 0.03
    assert_allclose(np.log([value, low, high]), [0.1, 0.1 - half, 0.1 + half])
    assert_allclose(found.probability, 2 * student.sf(0.1 / 0.03, 7))
    assert LevelShift(0.1, 0.0, 7).probability == 0
