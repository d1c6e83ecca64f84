"""Each value against what the others foretell, in a linear model."""

import numpy as np
import pytest
from scipy.stats import t as student

from edgetest.stats.outliers import studentised_residuals


def left_out_by_hand(design, values, i):
    """The definition: fit the others, foretell the value, divide by its standard error."""
    rest = np.arange(len(values)) != i
    a, y = design[rest], values[rest]
    inverse = np.linalg.inv(a.T @ a)
    beta = inverse @ a.T @ y
    df = len(y) - a.shape[1]
    variance = ((y - a @ beta) ** 2).sum() / df
    ahead = values[i] - design[i] @ beta
    t = ahead / np.sqrt(variance * (1 + design[i] @ inverse @ design[i]))
    return t, 2 * student.sf(abs(t), df), design[i] @ beta


def test_they_are_the_definition_with_each_value_left_out():
    rng = np.random.default_rng(4)
    design = np.column_stack([np.repeat([1, 0], 4), np.repeat([0, 1], 4), np.tile([0, 1], 4)])
    values = rng.standard_normal(8)
    t, p, expected = studentised_residuals(design, values)
    for i in range(8):
        by_hand = left_out_by_hand(design.astype(float), values, i)
        assert (t[i], p[i], expected[i]) == pytest.approx(by_hand, rel=1e-9)


def test_a_value_that_the_others_cannot_foretell_has_none():
    t, p, _ = studentised_residuals([[1, 0], [1, 0], [1, 0], [0, 1]], [1.0, 1.2, 0.9, 7.0])
    assert np.isnan(t[3])
    assert np.isnan(p[3])
    assert np.isfinite(t[:3]).all()


def test_three_values_of_a_line_leave_nothing_to_judge_one_by():
    """The other two tell the line whole, and no scatter: neither a t nor a value is told."""
    design = np.column_stack([np.ones(3), [0.0, 1.0, 2.0]])
    t, _, expected = studentised_residuals(design, np.array([1.0, 2.5, 2.0]))
    assert np.isnan(t).all()
    assert np.isnan(expected).all()


def test_columns_that_depend_on_one_another_change_nothing():
    rng = np.random.default_rng(4)
    design = np.column_stack([np.ones(7), rng.standard_normal(7)])
    values = rng.standard_normal(7)
    plain = studentised_residuals(design, values)
    twice = studentised_residuals(np.column_stack([design, design @ [0.3, -2.0]]), values)
    small = studentised_residuals(1e-13 * design, values)  # in whatever unit they stand
    for one, other, third in zip(plain, twice, small, strict=True):
        assert other == pytest.approx(one, rel=1e-9)
        assert third == pytest.approx(one, rel=1e-9)


def test_without_any_column_each_value_is_held_against_nothing():
    """t is the value over the root mean square of the others, which have n - 1 degrees."""
    values = np.array([1.0, -2.0, 2.0])
    t, p, expected = studentised_residuals(np.zeros((3, 0)), values)
    assert t == pytest.approx([1 / 4**0.5, -2 / 2.5**0.5, 2 / 2.5**0.5])
    assert p == pytest.approx(2 * student.sf(np.abs(t), 2))
    assert expected == pytest.approx([0, 0, 0])
